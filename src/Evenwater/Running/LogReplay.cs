using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>Runs a recorded night through the cycle again: the same inputs, hence the same decisions.</summary>
internal static class LogReplay
{
    /// <summary>Sees each cycle's effects.</summary>
    public delegate void Seen(Entry cycle, in EffectBuffer effects);

    /// <summary>Replays entries in order, the cycles of the state's own station, and gives the instant of the last.</summary>
    public static MonotonicTime? Run(IEnumerable<Entry> entries, StationState state, Seen? seen = null)
    {
        MonotonicTime? last = null;
        var effects = default(EffectBuffer);
        foreach (var entry in entries)
        {
            if (entry is not { Kind: EntryKind.Cycle, Samples: { } raw, Body: { } json } || entry.Station != state.Station.Name)
            {
                continue;
            }

            var body = LogJson.Read<CycleBody>(json);
            var samples = new Samples
            {
                Readings = Calibrate.Apply(raw, state.Station.Sensors),
                ValveOpen = body.ValveOpen,
                OpeningCommitted = body.OpeningCommitted,
                Command = body.Command,
                Start = body.Start,
                Drawn = body.Drawn ?? default,
                AlarmAsk = body.AlarmAsk ?? default,
                LogCommits = body.LogCommits,
                ProofOverdue = body.ProofOverdue ?? false,
                SendingRefused = body.SendingRefused ?? false,
                TestCalls = body.TestCalls ?? false,
                DiskRoom = body.DiskRoom ?? DiskRoom.Plenty,
            };
            Cycle.Step(state, samples, entry.At, ref effects);
            seen?.Invoke(entry, effects);
            last = entry.At;
        }

        return last;
    }
}
