namespace Evenwater.Core.Stations;

/// <summary>The valve opened in pulses, so that the vessel's water follows a path; without it the valve stays open and the water goes as it goes.</summary>
public sealed record Pacing
{
    /// <summary>Which path.</summary>
    public required PacePath Path { get; init; }

    /// <summary>With a straight line: in which time it goes from the bag's water to the tank's, h.</summary>
    public double? OverHours { get; init; }

    /// <summary>
    /// It goes at this share of what the animals may be put through in an hour, 0.5 to 1: a probe reads a per cent or two wrong, and a surge is seen only
    /// when it has begun.
    /// </summary>
    public double ShareOfLimit { get; init; } = 0.95;

    /// <summary>No pulse and no rest is shorter, s: a valve that has hardly opened has let in nothing known.</summary>
    public double LeastPulseSeconds { get; init; } = 10;

    /// <summary>No more pulses than this begin in an hour, for the valve's sake. At 20 a night of ten hours takes 200 turns of the 100,000 and more that a small valve is made for (from memory).</summary>
    public double MostPulsesPerHour { get; init; } = 20;
}

/// <summary>How the vessel's water is to go to the tank's.</summary>
public enum PacePath
{
    /// <summary>As fast as the animals' limits for an hour allow, in conductivity and in temperature, and no further than those for a whole run.</summary>
    Limits,

    /// <summary>In a straight line over a chosen time, slower where a limit asks for it.</summary>
    Line,
}

/// <summary>Ranges of the pacing keys.</summary>
internal static class PacingRules
{
    public static void Check(Station station, Findings findings)
    {
        if (station.Pacing is not { } pacing) return;
        var limits = Core.Safety.AnimalLimits.Of(station.Limits);
        findings.Require(pacing.Path != PacePath.Line || pacing.OverHours is not null, "pacing.overHours", pacing.OverHours, "0.5 to 48 h with path line", "Say over how many hours.");
        findings.Require(pacing.Path == PacePath.Line || pacing.OverHours is null, "pacing.overHours", pacing.OverHours, "left out with path limits", "Take it out, or set pacing.path to line.");
        findings.Require(
            pacing.Path == PacePath.Line || limits.MicrosiemensPerCmPerHour is not null || limits.CelsiusPerHour is not null,
            "pacing.path", "limits", "line, while the station has no limit for an hour", "Give limits.group, or limits.microsiemensPerCmPerHour, or limits.celsiusPerHour.");
        findings.WithinIfGiven("pacing.overHours", pacing.OverHours, 0.5, 48, "h", "From the bag's water to the tank's.");
        findings.Within("pacing.shareOfLimit", pacing.ShareOfLimit, 0.5, 1, "(a share)", "0.95 leaves room for what a probe reads wrong.");
        findings.Within("pacing.leastPulseSeconds", pacing.LeastPulseSeconds, 3, 120, "s", "10 is usual; the driver alone may take 2 s to let go.");
        findings.Within("pacing.mostPulsesPerHour", pacing.MostPulsesPerHour, 2, 120, "pulses an hour", "20 is usual: one in three minutes.");
        findings.Require(
            !(pacing.LeastPulseSeconds * pacing.MostPulsesPerHour > 1800) || pacing.LeastPulseSeconds is not (>= 3 and <= 120) || pacing.MostPulsesPerHour is not (>= 2 and <= 120),
            "pacing.mostPulsesPerHour", pacing.MostPulsesPerHour, $"up to {Findings.Text(1800 / pacing.LeastPulseSeconds)} with this leastPulseSeconds, so that a pulse and a rest fit",
            "Take fewer pulses, or shorter ones.");
    }
}
