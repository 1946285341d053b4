using Evenwater.Core.Estimation;
using Evenwater.Core.Telling;

namespace Evenwater.Page;

/// <summary>The picture in words, for those who do not see it.</summary>
internal static class PictureWords
{
    public const string Title = "Conductivity of vessel and tank, and the water in the vessel: past and forecast";

    public static string Describe(StationView view)
    {
        var words = new List<string>();
        var past = view.History.Where(p => p.VesselConductivity is not null).ToList();
        if (past.Count == 0)
        {
            words.Add("The vessel's conductivity has not been measured yet.");
        }
        else
        {
            words.Add($"From {view.ClockAt(past[0].Seconds):HH':'mm} to {view.ClockAt(past[^1].Seconds):HH':'mm} the vessel went from "
                + $"{past[0].VesselConductivity:F0} to {past[^1].VesselConductivity:F0} µS/cm.");
        }

        if (LastTank(view) is { } tank) words.Add($"The tank is at {tank:F0} µS/cm.");
        if (view.ToleranceMicrosiemensPerCm is { } tolerance) words.Add($"They count as even within {tolerance:F0} µS/cm.");
        words.AddRange(Future(view));
        if (view.Events.Count > 0) words.Add(view.Events.Count == 1 ? "One mark tells what happened; it is listed below." : $"{view.Events.Count} marks tell what happened; they are listed below.");
        if (view.StandpipeLitres is { } pipe) words.Add($"Above {pipe:F1} L it runs off through the standpipe.");
        if (view.BrimLitres is { } brim) words.Add($"Water spills at {brim:F1} L.");
        return string.Join(' ', words);
    }

    private static IEnumerable<string> Future(StationView view)
    {
        if (view.Forecast is not { Health: not Health.Blind } forecast)
        {
            yield return "There is no forecast.";
            yield break;
        }

        var v = forecast.VolumeLitres;
        yield return $"The vessel holds {v.P50:F1} L ({v.P05:F1} to {v.P95:F1}).";
        if (!view.ValveOpen)
        {
            yield return "The valve is closed, so the forecast stays where it is.";
            yield break;
        }

        var mark = view.MarkLitres is { } litres ? $"; at its mark of {litres:F1} L {AtMark(view, forecast.BrimSeconds)}" : "";
        var match = forecast.MatchSeconds;
        var even = match is { P50: <= 0, P95: > 0 } ? "probably even now" : $"even {(view.MatchCannotTell ? TimeWords.NoTelling : TimeWords.When(view.Now, match, view.Zone))}";
        yield return $"While the valve stays open: {even}{mark}.";
    }

    // The sentence tells it however wide the range is.
    private static string AtMark(StationView view, in Quantiles seconds) => seconds is { CannotTell: true, P50: <= TimeWords.LongestSeconds }
        ? $"at about {TimeWords.Clock(view.Now, seconds.P50, view.Zone)}, {TimeWords.Clock(view.Now, seconds.P05, view.Zone)} at the earliest"
        : TimeWords.When(view.Now, seconds, view.Zone);

    private static double? LastTank(StationView view) => view.History.LastOrDefault(p => p.TankConductivity is not null).TankConductivity;
}
