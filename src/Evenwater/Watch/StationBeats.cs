using Evenwater.Core.Screening;
using Evenwater.Core.Stations;

namespace Evenwater.Watch;

/// <summary>
/// The beats of one station and how long each may stay away. A live station has four tasks; a simulated one does everything in one.
/// </summary>
internal sealed class StationBeats
{
    /// <summary>
    /// Loops that rest 50 ms make 20 turns a second at most. Twice that leaves room for waits that end early; a loop without its wait makes thousands.
    /// </summary>
    private const double MostTurnsPerSecond = 40;

    /// <summary>Three missed cycles, and no longer than the valve's lease, which ends by itself then.</summary>
    private static readonly TimeSpan CycleSilence = TimeSpan.FromSeconds(3);

    /// <summary>
    /// A round of probes takes two thermometer conversions of 0.75 s at most (DS18B20 data sheet, 12 bit), and a bus that is held may add seconds. The readings
    /// are stale long before, and the cycle has closed then; after 5 s more nothing but a restart brings the thread back.
    /// </summary>
    private static readonly TimeSpan ProbeSilence = TimeSpan.FromSeconds(Screen.ProbeStaleSeconds + 5);

    private StationBeats(Beat cycle, Beat guard, Beat pulses, Beat probes) => (Cycle, Guard, Pulses, Probes) = (cycle, guard, pulses, probes);

    /// <summary>Completed cycles.</summary>
    public Beat Cycle { get; }

    /// <summary>Turns of the thread that polls the switches and runs the cycle.</summary>
    public Beat Guard { get; }

    /// <summary>Turns of the thread that toggles the valve's line.</summary>
    public Beat Pulses { get; }

    /// <summary>Completed rounds of probes, whatever they answered.</summary>
    public Beat Probes { get; }

    /// <summary>Of a station on this computer's own buses.</summary>
    public static StationBeats Live(Heartbeat heartbeat, Station station) => new(
        heartbeat.WatchCycle(station.Name, CycleSilence, MostTurnsPerSecond),
        heartbeat.Watch($"{station.Name} guard", CycleSilence, MostTurnsPerSecond),
        heartbeat.Watch($"{station.Name} pulses", CycleSilence, MostTurnsPerSecond),
        heartbeat.Watch($"{station.Name} probes", ProbeSilence, 3)); // one a second, and twice at the edges of a window

    /// <summary>
    /// Of a simulated station: one thread, so its cycles tell of all it does. After a pause it catches up as fast as it can; only its turns have a pace.
    /// </summary>
    public static StationBeats Simulated(Heartbeat heartbeat, Station station)
    {
        var turns = heartbeat.Watch($"{station.Name} turns", TimeSpan.FromMinutes(1), MostTurnsPerSecond);
        return new StationBeats(heartbeat.WatchCycle(station.Name, CycleSilence, double.MaxValue), turns, turns, turns);
    }
}
