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
                + $"{past[0].VesselConductivity:0} to {past[^1].VesselConductivity:0} µS/cm.");
        }

        if (LastTank(view) is { } tank) words.Add($"The tank is at {tank:0} µS/cm.");
        if (view.EvenByShare is { } share) words.Add(ByShare(share));
        else if (view.ToleranceMicrosiemensPerCm is { } tolerance) words.Add($"They count as even within {tolerance:0} µS/cm.");
        words.AddRange(Future(view));
        if (view.Events.Count > 0) words.Add(view.Events.Count == 1 ? "One mark tells what happened; it is listed below." : $"{view.Events.Count} marks tell what happened; they are listed below.");
        if (view.StandpipeLitres is { } pipe) words.Add($"Above {Litres(view, pipe)} L it runs off through the standpipe.");
        if (view.BrimLitres is { } brim) words.Add($"Water spills at {Litres(view, brim)} L.");
        return string.Join(' ', words);
    }

    /// <summary>What the hatching means, after a blank; in a run alone, and only where something is hatched about the tank.</summary>
    public static string Hatched(StationView view) => view.EvenByShare is { } share ? $" {ByShare(share)}"
        : view.ToleranceMicrosiemensPerCm is not null && view.History.Any(point => point.TankConductivity is not null) ? " Hatched: even with the tank."
        : "";

    /// <summary>What makes them even there, and is not hatched.</summary>
    public static string ByShare(double share) => $"The two waters conduct nearly alike: even is when {100 * share:0} % of the vessel's is the tank's.";

    private static IEnumerable<string> Future(StationView view)
    {
        if (view.Forecast is not { Health: not Health.Blind } forecast)
        {
            yield return "There is no forecast.";
            yield break;
        }

        var v = forecast.VolumeLitres;
        yield return $"The vessel holds {Litres(view, v.P50)} L ({Litres(view, v.P05)} to {Litres(view, v.P95)}).";
        if (!view.ValveOpen)
        {
            yield return "The valve is closed, so the forecast stays where it is.";
            yield break;
        }

        var mark = view.MarkLitres is { } litres ? $"; at its mark of {Litres(view, litres)} L {AtMark(view, forecast.BrimSeconds)}" : "";
        var match = forecast.EvenSeconds;
        var even = match is { P50: <= 0, P95: > 0 } ? "probably even now" : $"even {(view.MatchCannotTell && view.EvenByShare is null ? TimeWords.NoTelling : TimeWords.When(view.ForecastNow, match, view.Zone))}";
        yield return $"While the valve stays open: {even}{mark}.";
    }

    internal static string Litres(StationView view, double litres) => litres.ToString(LitresForm.Of(view.BrimLitres ?? litres));

    // The sentence tells it however wide the range is.
    private static string AtMark(StationView view, in Quantiles seconds) => seconds is { CannotTell: true, P50: <= TimeWords.LongestSeconds }
        ? $"at about {TimeWords.Clock(view.ForecastNow, seconds.P50, view.Zone)}, {TimeWords.Clock(view.ForecastNow, seconds.P05, view.Zone)} at the earliest"
        : TimeWords.When(view.ForecastNow, seconds, view.Zone);

    private static double? LastTank(StationView view) => view.History.LastOrDefault(p => p.TankConductivity is not null).TankConductivity;
}
