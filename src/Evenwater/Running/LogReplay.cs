using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>Runs a recorded night through the cycle again: the same inputs, hence the same decisions.</summary>
internal static class LogReplay
{
    /// <summary>Sees each cycle's effects.</summary>
    public delegate void Seen(Entry cycle, in EffectBuffer effects);

    /// <summary>Replays entries in order, the cycles of the state's own station, and gives the instant of the last.</summary>
    /// <param name="entries">The log's.</param>
    /// <param name="state">Goes through the night again.</param>
    /// <param name="seen">Sees each cycle.</param>
    /// <param name="configured">The station by its number in the log, so that each cycle is read by the calibration that held in it; null: by the state's own.</param>
    public static MonotonicTime? Run(IEnumerable<Entry> entries, StationState state, Seen? seen = null, Func<long, Station>? configured = null)
    {
        MonotonicTime? last = null;
        var configuration = 0L;
        var effects = default(EffectBuffer);
        foreach (var entry in entries)
        {
            if (entry is not { Kind: EntryKind.Cycle, Samples: { } raw, Body: { } json } || entry.Station != state.Station.Name)
            {
                continue;
            }

            if (configured is not null && entry.ConfigurationId != configuration)
            {
                // It changes between runs alone; a log that has it otherwise is gone on with as it was.
                configuration = entry.ConfigurationId;
                _ = state.Recalibrate(CalibrationsInForce.AsIn(state.Station, configured(configuration)));
            }

            var samples = LogJson.Read<CycleBody>(json).With(Calibrate.Apply(raw, state.Station.Sensors));
            Cycle.Step(state, samples, entry.At, ref effects);
            seen?.Invoke(entry, effects);
            last = entry.At;
        }

        return last;
    }
}
