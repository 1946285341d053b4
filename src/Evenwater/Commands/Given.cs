using Evenwater.Core.Stations;
using Evenwater.Running;

namespace Evenwater.Commands;

/// <summary>Whether the probes are to be matched now, or not, when that was said.</summary>
internal readonly record struct Matching(bool Wanted, bool Refused);

/// <summary>What was given, by options or answers.</summary>
internal sealed record Given(
    double? StartVolume, bool? Jug, double? Flow, bool? Matched, Matching Matching, double? Tank, double? TankSdPercent, bool Attended, string? BackAt, bool Yes, bool Unpaced = false)
{
    /// <summary>What both probes read in one cup just now.</summary>
    public Cup? Cup { get; init; }

    /// <summary>The animals in the vessel, of the arrival that was named.</summary>
    public Core.Animals? Animals { get; init; }

    /// <summary>1-sigma of the drip, as a fraction, when it is not the station file's: a count of drops.</summary>
    public double? FlowRelativeSd { get; init; }

    /// <summary>The first thing that is wrong, or null.</summary>
    public string? Problem(Station station) =>
        Matching is { Wanted: true, Refused: true } ? "--match and --no-match: say one of them."
        : Known().Problem(station) is { } problem ? $"--{problem}"
        : BackAt is { } at && !TimeOnly.TryParseExact(at, "HH:mm", out _) ? $"--back-at = {at}: write HH:MM, such as 07:30."
        : null;

    /// <summary>The station as it is now known, for a plan.</summary>
    public Station As(Station station)
    {
        var known = Known();
        var volume = known.StartVolumeLitres ?? station.Vessel.StartVolumeLitres;
        return station with
        {
            Vessel = station.Vessel with
            {
                StartVolumeLitres = volume,
                StartVolumeSdLitres = known.StartVolumeRelativeSd * volume ?? station.Vessel.StartVolumeSdLitres,
            },
            Drip = station.Drip with
            {
                FlowMillilitresPerMinute = known.FlowMillilitresPerMinute ?? station.Drip.FlowMillilitresPerMinute,
                FlowRelativeSd = known.FlowRelativeSd ?? station.Drip.FlowRelativeSd,
            },
            Probes = station.Probes with { GainRatioSd = RunPrior.GainRatioSd(station, known) },
            Waters = station.Waters with { TankMicrosiemensPerCm = known.TankMicrosiemensPerCm ?? station.Waters.TankMicrosiemensPerCm },
        };
    }

    /// <summary>As the daemon wants it.</summary>
    public StartKnown Known() => new(
        StartVolume,
        StartVolume is null ? null : Jug == true ? StartKnown.JugRelativeSd : StartKnown.EyeRelativeSd,
        Flow,
        FlowRelativeSd,
        Matched,
        Cup?.Ratio,
        Cup?.RelativeSd,
        Tank,
        TankSdPercent / 100,
        Attended,
        Unpaced)
    {
        Animals = Animals,
    };
}
