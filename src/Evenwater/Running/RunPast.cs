using Evenwater.Core;
using Evenwater.Log;
using Evenwater.Page;

namespace Evenwater.Running;

/// <summary>What the picture of a run shows of its past, gathered anew from the log after a restart: readings and estimates from the replay, what happened from what was told then.</summary>
/// <param name="state">Goes through the run again.</param>
internal sealed class RunPast(StationState state)
{
    private Entry? _former;

    /// <summary>Points of the picture.</summary>
    public RunHistory History { get; } = new();

    /// <summary>Its marks.</summary>
    public RunEvents Events { get; } = new();

    /// <summary>When the last cycle was, by the wall.</summary>
    public DateTimeOffset? LastWall { get; private set; }

    /// <summary>How far that may be believed.</summary>
    public ClockQuality LastQuality { get; private set; }

    /// <summary>Passes the run's entries on, and takes from them what happened. Another life of the clock is another start of the program.</summary>
    public IEnumerable<Entry> Seen(IEnumerable<Entry> entries)
    {
        foreach (var entry in entries.Where(entry => entry.Station == state.Station.Name))
        {
            if (_former is { } former && former.BootId != entry.BootId)
            {
                Events.AddStart(entry.Wall >= former.Wall && !IsCutUnknown(entry) ? entry.At.SecondsSince(former.At) : null, entry.At);
            }

            _former = entry;
            Events.Add(entry);
            yield return entry;
        }
    }

    /// <summary>The first word of a start whose clock went on from a time that it had kept: what it says of the gap is none of the gap's length.</summary>
    private static bool IsCutUnknown(Entry entry) => entry is { Kind: EntryKind.Event, Body: { } body } && body.Contains($"\"{Restart.CutUnknown}\"", StringComparison.Ordinal);

    /// <summary>After each cycle of the replay.</summary>
    public void Step(Entry cycle, in EffectBuffer effects)
    {
        (LastWall, LastQuality) = (cycle.Wall, cycle.ClockQuality);
        if (state.Run is not null)
        {
            History.Add(ViewMaker.Point(state, cycle.At.SecondsSince(state.StartedAt)));
        }
    }
}
