using Evenwater.Control;
using Evenwater.Core.Telling;

namespace Evenwater.Page;

/// <summary>Stations that have fallen silent, told to who asks how things stand: what was said of them last is no word of now, and no alarm of theirs can come.</summary>
internal static class SilentStations
{
    /// <summary>The answer with them told first, and then not good; as it was where all report.</summary>
    /// <param name="answer">What the stations said last.</param>
    /// <param name="board">How long ago that was.</param>
    /// <param name="station">The one that is meant; null for all.</param>
    public static ControlAnswer Before(ControlAnswer answer, StationBoard board, string? station)
    {
        var silent = board.All().Where(p => p.IsSilent && (station ?? p.View.Name) == p.View.Name)
            .Select(p => $"{p.View.Name} has not reported for {TimeWords.Age(p.SilentSeconds)}: what follows of it is old. {new Live.Told(p).Do}").ToList();
        return silent.Count == 0 ? answer : answer with { Ok = false, Text = string.Join('\n', silent.Append(answer.Text)) };
    }
}
