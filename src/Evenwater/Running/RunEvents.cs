using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.Log;
using Evenwater.Page;

namespace Evenwater.Running;

/// <summary>
/// What happened lately, for the picture of the run: the latest <see cref="Most"/>, older ones are dropped. A paced valve's pulses are not told one by one, nor are the calls
/// that an alarm repeats because nobody has seen it: one every ten minutes would drive out what it was called for. From any thread.
/// </summary>
internal sealed class RunEvents
{
    /// <summary>So many are kept. More marks than that nobody reads beside a picture; the log has all.</summary>
    public const int Most = 40;

    private readonly Lock _lock = new();
    private readonly List<(MonotonicTime At, RunEventKind Kind, string Text, string[] Notes)> _events = []; // with the names of the note and of its corrections
    private readonly HashSet<AlarmId> _unseen = []; // what has called and was not seen since
    private bool _open; // a run is held after a reset as well, or when its opening came to nothing: then nothing closes

    /// <summary>One of the cycle's effects, when it is one that a person would want to know of.</summary>
    public void Add(in Effect effect, MonotonicTime now)
    {
        switch (effect.Kind)
        {
            case EffectKind.PhaseChanged:
                AddPhase(Words.Of(effect.Phase), Words.Why(effect.Phase, effect.Trip), now);
                break;
            case EffectKind.AlarmChanged:
                AddAlarm(AlarmTable.Of(effect.Alarm), effect.Standing, effect.Calls, now);
                break;
            case EffectKind.DrawnOff:
                Add(RunEventKind.Drawn, Words.Of(effect.Drawn), now);
                break;
            default:
                break;
        }
    }

    /// <summary>The same of an entry of the log: what was told then, whatever the program would decide by now. One that is no longer what was written makes no mark.</summary>
    public void Add(Entry entry)
    {
        try
        {
            AddWritten(entry);
        }
        catch (JsonException)
        {
            // A picture decides nothing.
        }
    }

    private void AddWritten(Entry entry)
    {
        switch (entry)
        {
            case { Kind: EntryKind.Run, Body: { } body } when LogJson.Read<RunBody>(body) is var run:
                AddPhase(run.Phase, run.Why, entry.At);
                break;
            case { Kind: EntryKind.Alarm, Body: { } body } when LogJson.Read<AlarmBody>(body) is var alarm:
                AddAlarm(AlarmTable.Named(alarm.Name), alarm.State, alarm.Calls, entry.At);
                break;
            case { Kind: EntryKind.Event, Body: { } body } when LogJson.Read<EventBody>(body) is { Name: Recorder.DrawnOff } drawn:
                Add(RunEventKind.Drawn, drawn.Text, entry.At);
                break;
            case { Kind: EntryKind.Note, Body: { } body }:
                Add(LogJson.Read<NoteBody>(body).Note, entry.At);
                break;
            default:
                break;
        }
    }

    /// <summary>The program has started anew in the midst of the run.</summary>
    /// <param name="gapSeconds">For how long nobody watched, s; null when the clock can not tell.</param>
    /// <param name="now">When it watched again.</param>
    public void AddStart(double? gapSeconds, MonotonicTime now) => Add(
        RunEventKind.Start,
        gapSeconds is { } gap ? $"The program started anew; for {TimeWords.Span(gap)} before, nothing was watched."
            : "The program started anew; nothing was watched before, and the clock can't tell for how long.",
        now);

    /// <summary>A note of the keeper's book. One that corrects another takes its place, and one that was taken back is no longer told.</summary>
    public void Add(Note note, MonotonicTime now)
    {
        var text = string.IsNullOrEmpty(note.Text) ? $"Noted: {NoteKinds.Name(note.Kind)}." : $"Noted: {NoteKinds.Name(note.Kind)}, {note.Text}";
        lock (_lock)
        {
            var place = note.Corrects is { } former ? _events.FindIndex(e => e.Notes.Contains(former)) : -1;
            if (place >= 0 && note.Withdrawn) _events.RemoveAt(place);
            else if (place >= 0) _events[place] = (_events[place].At, RunEventKind.Note, text, [.. _events[place].Notes, note.Id]);
            else if (!note.Withdrawn) Add(RunEventKind.Note, text, now, note.Id);
        }
    }

    /// <summary>All since a moment, oldest first, on that moment's clock.</summary>
    public IReadOnlyList<RunEvent> Since(MonotonicTime zero)
    {
        lock (_lock)
        {
            return [.. _events.Where(e => e.At >= zero).Select(e => new RunEvent(e.At.SecondsSince(zero), e.Kind, e.Text))];
        }
    }

    private void AddPhase(string phase, string why, MonotonicTime now)
    {
        var wasOpen = _open;
        _open = phase == Words.Of(Phase.Dripping);
        if (_open) Add(RunEventKind.Valve, "The valve opened.", now);
        else if (phase == Words.Of(Phase.Holding) && wasOpen) Add(RunEventKind.Valve, "The valve closed.", now);
        else if (phase == Words.Of(Phase.Tripped)) Add(RunEventKind.Valve, $"Closed at once: {why}.", now);
    }

    private void AddAlarm(Alarm? row, AlarmStanding standing, bool calls, MonotonicTime now)
    {
        if (row is null) return; // of another program than this one
        bool repeats;
        lock (_lock)
        {
            repeats = standing == AlarmStanding.Unacknowledged ? !_unseen.Add(row.Id) : !_unseen.Remove(row.Id);
        }

        // Only what is critical calls again by itself while it stands as it stood; another call of the rest has something new to tell.
        if (calls && !(repeats && row.Priority == Priority.Critical)) Add(RunEventKind.Alarm, $"Called: {row.Title}.", now);
    }

    private void Add(RunEventKind kind, string text, MonotonicTime now, params string[] notes)
    {
        lock (_lock)
        {
            if (_events.Count == Most) _events.RemoveAt(0);
            _events.Add((now, kind, text, notes));
        }
    }
}
