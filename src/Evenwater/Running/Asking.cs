using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.Running;

/// <summary>What the keeper knows about a run that is to begin; what is null is taken from the station file.</summary>
/// <param name="StartVolumeLitres">The bag water, L.</param>
/// <param name="StartVolumeRelativeSd">1-sigma of it: a jug 0.02, by eye 0.15.</param>
/// <param name="FlowMillilitresPerMinute">The drip as counted.</param>
/// <param name="FlowRelativeSd">1-sigma of it.</param>
/// <param name="ProbesMatched">Whether both probes were put in one cup before.</param>
/// <param name="GainRatio">The vessel's probe over the tank's, as just read in one cup.</param>
/// <param name="GainRatioSd">1-sigma of it, as a fraction.</param>
/// <param name="TankMicrosiemensPerCm">The tank as measured by hand, µS/cm at 25 °C, where there is no probe in it.</param>
/// <param name="TankRelativeSd">1-sigma of it.</param>
/// <param name="Attended">Whether somebody stays beside it the whole time; who does not say so is taken to leave.</param>
/// <param name="Unpaced">The valve stays open while it drips, also at a station with pacing.</param>
internal sealed record StartKnown(
    double? StartVolumeLitres = null,
    double? StartVolumeRelativeSd = null,
    double? FlowMillilitresPerMinute = null,
    double? FlowRelativeSd = null,
    bool? ProbesMatched = null,
    double? GainRatio = null,
    double? GainRatioSd = null,
    double? TankMicrosiemensPerCm = null,
    double? TankRelativeSd = null,
    bool Attended = false,
    bool Unpaced = false)
{
    /// <summary>1-sigma of a volume that was measured with a jug, as a fraction. Common practice, no source.</summary>
    public const double JugRelativeSd = 0.02;

    /// <summary>1-sigma of a volume that was judged by eye, as a fraction. Common practice, no source.</summary>
    public const double EyeRelativeSd = 0.15;

    /// <summary>The least that a run may begin with, L.</summary>
    public const double LeastStartLitres = 0.05;

    /// <summary>What a tank may have, µS/cm at 25 °C.</summary>
    public const double LeastTank = 1;

    /// <inheritdoc cref="LeastTank"/>
    public const double MostTank = 100_000;

    /// <summary>That in words.</summary>
    public static readonly string TankAllowed = $"{LeastTank} to {MostTank} µS/cm at 25 °C";

    /// <summary>A run begins with less than this: the vessel's mark, or its standpipe, L.</summary>
    public static double MostStartLitres(Station station) =>
        station.Vessel is { Mode: VesselMode.Standpipe, StandpipeLitres: { } pipe } ? pipe : station.Vessel.BrimLitres - station.Vessel.FreeboardLitres;

    /// <summary>The animals in the vessel, when the keeper told which arrival they are.</summary>
    public Animals? Animals { get; init; }

    /// <summary>The first number that cannot be, with its range; or null. What comes over the socket is checked by this too.</summary>
    public string? Problem(Station station)
    {
        var most = MostStartLitres(station);
        return this switch
        {
            { StartVolumeLitres: { } v } when !(v >= LeastStartLitres && v < most) => $"start-volume = {v}: allowed is 0.05 to less than {most:0.##} L, the vessel's mark or standpipe.",
            { StartVolumeRelativeSd: { } sd } when sd is not (> 0 and <= 0.5) => $"start volume's relative SD = {sd}: allowed is above 0, to 0.5.",
            { FlowMillilitresPerMinute: { } f } when f is not (>= 0.5 and <= 200) =>
                $"flow = {f}: allowed is 0.5 to 200 mL/min. Count the drops of a minute: 20 drops are about 1 mL.",
            { FlowRelativeSd: { } sd } when sd is not (> 0 and <= 1) => $"flow's relative SD = {sd}: allowed is above 0, to 1.",
            { GainRatio: { } r } when r is not (>= 0.75 and <= 1.33) => $"gain ratio = {r}: allowed is 0.75 to 1.33. Two probes further apart were not in one water.",
            { GainRatioSd: { } sd } when sd is not (>= 0.0005 and <= 0.1) => $"gain ratio's SD = {sd}: allowed is 0.0005 to 0.1.",
            { GainRatio: not null } when station.Sensors.TankConductivity is null => $"gain ratio = {GainRatio}: {station.Name} has no probe in the tank to match. Leave it out.",
            { TankMicrosiemensPerCm: { } t } when t is not (>= LeastTank and <= MostTank) => $"tank = {t}: allowed is {TankAllowed}.",
            { TankRelativeSd: { } sd } when sd is not (>= 0.001 and <= 0.2) => $"tank-sd = {sd * 100:0.####} %: allowed is 0.1 to 20 %. Leave it out for 2.",
            { TankRelativeSd: { } sd } when station.Sensors.TankConductivity is not null => $"tank-sd = {sd * 100:0.####} %: {station.Name} has a probe in the tank, which is read. Leave it out.",
            { TankMicrosiemensPerCm: { } t } when station.Sensors.TankConductivity is not null => $"tank = {t}: {station.Name} has a probe in the tank, which is read. Leave it out.",
            { Animals: { Count: not (>= 1 and <= 100_000) and var count } } => $"animals = {count}: allowed is 1 to 100000. Correct the arrival.",
            { Animals.Grams: { } g } when g is not (> 0 and <= 1_000_000) => $"animals' grams = {g}: allowed is above 0, to 1000000 g together. Correct the arrival.",
            _ => null,
        };
    }
}

/// <summary>What is not given when a run begins anew and cannot be done without.</summary>
internal static class StartMissing
{
    public static string? Of(Station station, StartKnown? known) =>
        station.Sensors.TankConductivity is null && known?.TankMicrosiemensPerCm is null
            ? $"{station.Name} has no conductivity probe in the tank: measure the tank and say --tank MICROSIEMENS, at 25 °C."
            : null;
}

/// <summary>What came of asking.</summary>
/// <param name="Obeyed">Whether it was done.</param>
/// <param name="Text">One sentence.</param>
internal readonly record struct Answer(bool Obeyed, string Text);

/// <summary>Something asked of a station by a person, answered by its next cycle.</summary>
internal sealed class Asking(Verb verb, string by, StartKnown? known = null, Drawn drawn = default, AlarmAsk alarm = default)
{
    private readonly TaskCompletionSource<Answer> _answer = new(TaskCreationOptions.RunContinuationsAsynchronously);

    public Verb Verb => verb;

    public string By => by;

    public StartKnown? Known => known;

    /// <summary>With <see cref="Verb.Drawn"/>: how much.</summary>
    public Drawn Drawn => drawn;

    /// <summary>With a verb about alarms: which.</summary>
    public AlarmAsk Alarm => alarm;

    /// <summary>With an opening that was signed: what it was signed for.</summary>
    public OpeningBudget? Signed { get; init; }

    /// <summary>With a begin: whether a run was held when it was asked, so that it means to go on with that one.</summary>
    public bool GoesOn { get; set; }

    public Task<Answer> Answered => _answer.Task;

    public void Reply(Answer answer) => _answer.TrySetResult(answer);
}
