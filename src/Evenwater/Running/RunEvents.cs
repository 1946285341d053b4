using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Page;

namespace Evenwater.Running;

/// <summary>What happened lately, for the picture of the run: the latest <see cref="Most"/>, older ones are dropped. A paced valve's pulses are not told one by one. From any thread.</summary>
internal sealed class RunEvents
{
    /// <summary>So many are kept. More marks than that nobody reads beside a picture; the log has all.</summary>
    public const int Most = 40;

    private readonly Lock _lock = new();
    private readonly Queue<(MonotonicTime At, RunEventKind Kind, string Text)> _events = [];

    /// <summary>One of the cycle's effects, when it is one that a person would want to know of.</summary>
    public void Add(in Effect effect, MonotonicTime now)
    {
        switch (effect.Kind)
        {
            case EffectKind.PhaseChanged when effect.Phase == Phase.Dripping:
                Add(RunEventKind.Valve, "The valve opened.", now);
                break;
            case EffectKind.PhaseChanged when effect.Phase == Phase.Holding:
                Add(RunEventKind.Valve, "The valve closed.", now);
                break;
            case EffectKind.PhaseChanged when effect.Phase == Phase.Tripped:
                Add(RunEventKind.Valve, $"Closed at once: {AlarmTable.Of((AlarmId)effect.Trip).Title}.", now);
                break;
            case EffectKind.AlarmChanged when effect.Calls:
                Add(RunEventKind.Alarm, $"Called: {AlarmTable.Of(effect.Alarm).Title}.", now);
                break;
            case EffectKind.DrawnOff:
                Add(RunEventKind.Drawn, $"{effect.Drawn.Litres:0.##} L drawn off by hand.", now);
                break;
            default:
                break;
        }
    }

    /// <summary>A note of the keeper's book.</summary>
    public void Add(Note note, MonotonicTime now) =>
        Add(RunEventKind.Note, string.IsNullOrEmpty(note.Text) ? $"Noted: {NoteKinds.Name(note.Kind)}." : $"Noted: {NoteKinds.Name(note.Kind)}, {note.Text}", now);

    /// <summary>All since a moment, oldest first, on that moment's clock.</summary>
    public IReadOnlyList<RunEvent> Since(MonotonicTime zero)
    {
        lock (_lock)
        {
            return [.. _events.Where(e => e.At >= zero).Select(e => new RunEvent(e.At.SecondsSince(zero), e.Kind, e.Text))];
        }
    }

    private void Add(RunEventKind kind, string text, MonotonicTime now)
    {
        lock (_lock)
        {
            if (_events.Count == Most) _events.Dequeue();
            _events.Enqueue((now, kind, text));
        }
    }
}
