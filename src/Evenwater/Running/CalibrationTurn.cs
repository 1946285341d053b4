using Evenwater.Calibrating;
using Evenwater.Core;
using Evenwater.Core.Stations;

namespace Evenwater.Running;

/// <summary>Calibrated values that a station goes on with, from the next turn on or after the run that is on, and when they are due again.</summary>
/// <param name="state">The station's memory.</param>
/// <param name="recorder">Writes the log.</param>
/// <param name="clock">The station's.</param>
internal sealed class CalibrationTurn(StationState state, Recorder recorder, StationClock clock)
{
    private Recalibrated? _next;
    private bool _overdue;

    /// <summary>When each calibration is due, where one was made; from any thread.</summary>
    public IReadOnlyList<CalibrationDue> Due { get; set; } = [];

    /// <summary>Goes on with other calibrated values. From any thread.</summary>
    /// <param name="station">The station with them.</param>
    /// <param name="configurationId">Its number in the log.</param>
    public void Next(Station station, long configurationId) => Volatile.Write(ref _next, new Recalibrated(station, configurationId));

    /// <summary>Whether a calibration that was made is due again; while the clock can not tell, what it told last. One that was never made is not overdue.</summary>
    public bool IsOverdue(MonotonicTime now) =>
        _overdue = Due is { Count: > 0 } made && (clock.WallAt(now) is { } wall ? made.Any(due => wall >= due.Due) : _overdue);

    /// <summary>Takes what waits, where a run lets it; says so in the log.</summary>
    public void Take(MonotonicTime now)
    {
        var before = state.Station;
        if (Volatile.Read(ref _next) is not { } next || !state.Recalibrate(next.Station))
        {
            return;
        }

        recorder.ConfigurationId = next.ConfigurationId;
        _ = Interlocked.CompareExchange(ref _next, null, next);
        var changes = CalibrationText.Between(before, next.Station).ToList();
        if (changes.Count > 0)
        {
            recorder.Event("calibration-in-force", $"From now on: {string.Join(", ", changes)}.", state, now);
        }
    }

    private sealed record Recalibrated(Station Station, long ConfigurationId);
}
