using Evenwater.Core.Telling;

namespace Evenwater.Keeping;

/// <summary>What is said where rows of the log are no longer what was written, and were passed over.</summary>
internal static class DamagedRows
{
    /// <summary>That the station's last configuration is one of them.</summary>
    private const string Former = "The log is damaged: how the station was configured last can not be read, and an earlier configuration stands in its place. What rests on the tank's volume, its limits, the room or new water may be wrong. "
        + "The next start of the program writes it anew.";

    /// <summary>A sentence for each of the two; none where all could be read.</summary>
    /// <param name="rows">How many.</param>
    /// <param name="done">What is done with all else.</param>
    /// <param name="former">Whether the station's last configuration can not be read, and an earlier one was taken.</param>
    public static IEnumerable<string> Say(int rows, string done = "shown", bool former = false) => [.. Rows(rows, done), .. former ? [Former] : (string[])[]];

    private static IEnumerable<string> Rows(int rows, string done) => rows == 0 ? []
        : [$"The log is damaged: {HowMany.Of(rows, "row")} in or near this span can not be read and {(rows == 1 ? "is" : "are")} left out. All else is {done}. Put the log on another card: stop the program, and keep the file."];
}
