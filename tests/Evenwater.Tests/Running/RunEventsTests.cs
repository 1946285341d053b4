using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>A leak calls every ten minutes as long as nobody sees it. Seven hours of that are more calls than the picture of a run has room for.</summary>
public sealed class RunEventsTests
{
    private static readonly string[] s_told = ["The valve opened.", "Closed at once: Water on the floor.", "Called: Water on the floor."];

    [Fact]
    public void The_picture_still_tells_when_it_closed_after_hours_of_the_same_call()
    {
        var events = new RunEvents();
        events.Add(new Effect(EffectKind.PhaseChanged) { Phase = Phase.Dripping }, At(0));
        events.Add(new Effect(EffectKind.PhaseChanged) { Phase = Phase.Tripped, Trip = Trip.Leak }, At(1));
        for (var call = 0; call <= RunEvents.Most; call++) events.Add(Alarm(AlarmId.Leak, AlarmStanding.Unacknowledged, calls: true), At(1 + (10 * call)));
        Assert.Equal(s_told, events.Since(default).Select(mark => mark.Text));
    }

    [Fact]
    public void So_does_the_one_that_is_gathered_from_the_log()
    {
        var events = new RunEvents();
        events.Add(Entry(EntryKind.Run, new RunBody(Words.Of(Phase.Dripping), ""), 0));
        events.Add(Entry(EntryKind.Run, new RunBody(Words.Of(Phase.Tripped), Words.Why(Phase.Tripped, Trip.Leak)), 1));
        var row = AlarmTable.Of(AlarmId.Leak);
        for (var call = 0; call <= RunEvents.Most; call++)
        {
            events.Add(Entry(EntryKind.Alarm, new AlarmBody(row.Name, AlarmStanding.Unacknowledged, Priority.Critical, row.Title, row.Did, row.Act) { Calls = true }, 1 + (10 * call)));
        }

        Assert.Equal(s_told, events.Since(default).Select(mark => mark.Text));
    }

    [Fact]
    public void What_was_seen_and_comes_again_is_told_again()
    {
        var events = new RunEvents();
        events.Add(Alarm(AlarmId.Leak, AlarmStanding.Unacknowledged, calls: true), At(0));
        events.Add(Alarm(AlarmId.Leak, AlarmStanding.Acknowledged, calls: false), At(1));
        events.Add(Alarm(AlarmId.Leak, AlarmStanding.Unacknowledged, calls: true), At(31));
        Assert.Equal(2, events.Since(default).Count);
    }

    [Fact] // A second probe that fails calls by the same name, and is another one.
    public void Another_call_of_what_is_not_critical_has_something_new_to_tell()
    {
        var events = new RunEvents();
        events.Add(Alarm(AlarmId.ProbeTrouble, AlarmStanding.Unacknowledged, calls: true), At(0));
        events.Add(Alarm(AlarmId.ProbeTrouble, AlarmStanding.Unacknowledged, calls: true), At(5));
        Assert.Equal(2, events.Since(default).Count);
    }

    [Fact] // A reset holds a run whose valve closed long before; an opening that waits too long never opened.
    public void A_valve_that_was_closed_already_is_not_told_to_have_closed()
    {
        var events = new RunEvents();
        Phase[] phases = [Phase.Armed, Phase.Holding, Phase.Armed, Phase.Dripping, Phase.Tripped, Phase.Holding, Phase.Armed, Phase.Dripping, Phase.Holding];
        for (var i = 0; i < phases.Length; i++) events.Add(new Effect(EffectKind.PhaseChanged) { Phase = phases[i], Trip = phases[i] == Phase.Tripped ? Trip.Leak : Trip.None }, At(i));
        Assert.Equal(["The valve opened.", "Closed at once: Water on the floor.", "The valve opened.", "The valve closed."], events.Since(default).Select(mark => mark.Text));
        Assert.Equal(60 * 8, events.Since(default)[^1].Seconds);
    }

    [Theory] // As it is noted, and as the log tells it after a restart.
    [InlineData(false)]
    [InlineData(true)]
    public void A_note_that_was_put_right_is_told_as_it_stands_and_one_that_was_taken_back_no_more(bool fromLog)
    {
        var events = new RunEvents();
        Note[] notes =
        [
            new() { Id = "n1", Kind = NoteKind.Dose, Text = "iron" },
            new() { Id = "n2", Kind = NoteKind.Feed, Text = "flakes" },
            new() { Id = "n3", Kind = NoteKind.Dose, Text = "minerals", Corrects = "n1" },
            new() { Id = "n4", Kind = NoteKind.Feed, Corrects = "n2", Withdrawn = true },
        ];
        for (var i = 0; i < notes.Length; i++) Add(notes[i], i);
        var stands = Assert.Single(events.Since(default));
        Assert.Equal((0, "Noted: dose, minerals"), (stands.Seconds, stands.Text));
        Add(new() { Id = "n5", Kind = NoteKind.Dose, Corrects = "n1", Withdrawn = true }, 5); // by its first name
        Add(new() { Id = "n6", Kind = NoteKind.Dose, Corrects = "n0", Withdrawn = true }, 6); // of a note from before
        Assert.Empty(events.Since(default));

        void Add(Note note, double minutes)
        {
            if (fromLog) events.Add(Entry(EntryKind.Note, new NoteBody(note), minutes));
            else events.Add(note, At(minutes));
        }
    }

    private static MonotonicTime At(double minutes) => MonotonicTime.FromSeconds(60 * minutes);

    private static Effect Alarm(AlarmId id, AlarmStanding standing, bool calls) => new(EffectKind.AlarmChanged) { Alarm = id, Standing = standing, Calls = calls };

    private static Entry Entry<T>(EntryKind kind, T body, double minutes) => new() { At = At(minutes), BootId = 1, ConfigurationId = 1, Station = "sim-river", Kind = kind, ClockQuality = ClockQuality.Simulated, Body = LogJson.Write(body) };
}
