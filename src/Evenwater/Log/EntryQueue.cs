using Evenwater.Core.Telling;

namespace Evenwater.Log;

/// <summary>
/// What is appended but not yet committed, numbered in order. Bounded, with room kept for what is not a cycle:
/// when the disk fails for long, new cycles are turned away first, then forecasts and sentences, of which there are two each half minute: half of the room is left for trips,
/// commands and notes. The first commit that works again says how many.
/// Not thread-safe: its owner locks.
/// </summary>
internal sealed class EntryQueue(int maxCycles, int maxOthers, long lastId)
{
    private readonly List<(Entry Entry, long Stamp)> _entries = [];
    private int _cycles;
    private int _patient;
    private int _droppedCycles;
    private int _droppedOthers;
    private Entry? _lastDropped;

    /// <summary>The number given last.</summary>
    public long LastId { get; private set; } = lastId;

    public int Count => _entries.Count;

    /// <summary>Whether something waits that is committed at once: all but cycles, and what follows from them again.</summary>
    public bool Urgent => _cycles + _patient < _entries.Count;

    /// <summary>Whether forecasts or sentences wait.</summary>
    public bool Patient => _patient > 0;

    /// <summary>Whether so much waits that it is better committed early.</summary>
    public bool HalfFull => _cycles >= maxCycles / 2;

    /// <summary>When the oldest was appended; only when there is one.</summary>
    public long OldestStamp => _entries[0].Stamp;

    /// <summary>How many have been turned away since the start.</summary>
    public long DroppedEver { get; private set; }

    /// <summary>Its number, or 0 when there is no room.</summary>
    public long Add(Entry entry, long stamp)
    {
        var isCycle = entry.Kind == EntryKind.Cycle;
        var full = isCycle ? _cycles >= maxCycles : _entries.Count - _cycles >= maxOthers || (IsPatient(entry) && _patient >= maxOthers / 2);
        if (full)
        {
            _droppedCycles += isCycle ? 1 : 0;
            _droppedOthers += isCycle ? 0 : 1;
            DroppedEver++;
            _lastDropped = entry;
            return 0;
        }

        _cycles += isCycle ? 1 : 0;
        _patient += IsPatient(entry) ? 1 : 0;
        _entries.Add((entry with { Id = ++LastId }, stamp));
        return LastId;
    }

    /// <summary>All that waits.</summary>
    public Entry[] Snapshot() => [.. _entries.Select(e => e.Entry)];

    /// <summary>These are committed; if others were turned away meanwhile, an entry that says so now waits.</summary>
    public void Committed(Entry[] entries, long stamp)
    {
        _entries.RemoveRange(0, entries.Length);
        _cycles -= entries.Count(e => e.Kind == EntryKind.Cycle);
        _patient -= entries.Count(IsPatient);
        if (_lastDropped is not { } last)
        {
            return;
        }

        var text = $"{HowMany.Of(_droppedCycles, "cycle")} and {HowMany.Of(_droppedOthers, "other entry", "other entries")} were not stored: the log could not commit and its queue was full";
        (_droppedCycles, _droppedOthers, _lastDropped) = (0, 0, null);
        Add(last with { Kind = EntryKind.Event, Samples = null, Body = LogJson.Write(new EventBody("not-stored", text)) }, stamp);
    }

    private static bool IsPatient(Entry entry) => entry.Kind is EntryKind.Forecast or EntryKind.Say;
}
