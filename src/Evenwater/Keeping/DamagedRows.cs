using Evenwater.Core.Telling;

namespace Evenwater.Keeping;

/// <summary>What is said where rows of the log are no longer what was written, and were passed over.</summary>
internal static class DamagedRows
{
    /// <summary>A sentence; none where all could be read.</summary>
    /// <param name="rows">How many.</param>
    /// <param name="done">What is done with all else.</param>
    public static IEnumerable<string> Say(int rows, string done = "shown") => rows == 0 ? []
        : [$"The log is damaged: {HowMany.Of(rows, "row")} in or near this span can not be read and {(rows == 1 ? "is" : "are")} left out. All else is {done}. Put the log on another card: stop the program, and keep the file."];
}
