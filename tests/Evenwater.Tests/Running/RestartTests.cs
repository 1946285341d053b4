using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Waiting;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Page;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Watch;

namespace Evenwater.Tests.Running;

/// <summary>A station is killed in the middle of a night and started again on the same water: what a board station goes through.</summary>
public sealed class RestartTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(20)]
    [InlineData(900)]
    public void A_run_killed_while_it_dripped_holds_closed_and_knows_its_volume_and_budgets(double gapSeconds)
    {
        using var log = _folder.Open();
        var station = Station();
        var (rig, before, killedAt) = Night(log, station, hours: 2);
        var beat = new Beat();
        var again = Restart.Of(log, station, At(killedAt.Plus(gapSeconds)), beat);
        Assert.InRange(beat.Count, 7200, 7400); // a cycle a second for two hours
        Assert.Equal(Phase.Dripping, again.State.Phase);
        Assert.Equal(before.Forecast.VolumeLitres, again.State.Forecast.VolumeLitres);

        using var drive = new RigDrive(rig, again.State, log, killedAt.Plus(gapSeconds), Evening.AddSeconds(killedAt.Seconds + gapSeconds));
        _ = drive.Loop.Ask(new Asking(Verb.Restarted, "start"));
        drive.Go(90);
        Assert.Equal((Phase.Holding, false), (drive.Loop.State.Phase, drive.EverOpen));
        Assert.Equal(before.OpenSeconds, again.State.OpenSeconds, 10.0);
        Assert.Equal(before.InflowLitres, again.State.InflowLitres, 0.01);
        Assert.InRange(rig.VolumeLitres, again.State.Forecast.VolumeLitres.P05 - 0.3, again.State.Forecast.VolumeLitres.P95 + 0.3);

        _ = drive.Loop.Ask(new Asking(Verb.Begin, "test"));
        Assert.True(drive.Go(30, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.Equal(1, drive.Loop.State.Run!.RunId);
    }

    /// <summary>A computer without a clock of its own comes up with the time that it went down with, or an earlier one.</summary>
    [Fact]
    public void Where_the_clock_can_not_tell_how_long_the_power_was_away_the_animals_are_to_be_let_in_now()
    {
        using var log = _folder.Open();
        var station = Station();
        station = station with { Match = station.Match with { TemperatureToleranceCelsius = 5 } }; // so that the bag's temperature is not what hurries
        var (rig, _, killedAt) = Night(log, station, hours: 0.25);
        Told(killedAt, knows: true, "Let the animals in within 5 h 55 min: ", due: false);
        Told(killedAt.Plus(100), knows: false, "Let the animals in now: how long they have stood in still water can't be told", due: true);
        Assert.True(log.Reader.HasEvent(station.Name, Restart.CutUnknown));
        Told(killedAt.Plus(200), knows: true, "Let the animals in now: how long", due: true); // what was not known then is not known later

        // A time server sets the clock: the power was away for two hours more.
        double? longer = null;
        var late = Restart.Of(log, station, At(killedAt.Plus(400)));
        using (var drive = new RigDrive(rig, late.State, log, killedAt.Plus(400), Evening.AddSeconds(killedAt.Seconds + 400)))
        {
            drive.Loop.Cut.Unknown(() => longer);
            drive.Go(5);
            Assert.True(late.State.StoodLonger);
            longer = 7200;
            drive.Go(5);
            longer = 9999; // once is enough: of six hours 2 h and 415 s have gone, so 3 h 53 min are left
            drive.Go(5);
            log.Flush();
            Assert.StartsWith("Let the animals in within 3 h 50 min: ", Waits.Sentence(late.State, Waits.Of(late.State)!.Value, null), StringComparison.Ordinal);
            Assert.Contains("for 2 h longer", log.Reader.LastEvent(station.Name, Restart.CutKnown)?.Text, StringComparison.Ordinal);
        }

        var last = Restart.Of(log, station, At(killedAt.Plus(450)));
        Assert.False(last.State.StoodLonger); // and a start replays it so
        Assert.Single(last.Past.Events.Since(default), mark => mark.Text == "The program started anew; nothing was watched before, and the clock can't tell for how long.");

        void Told(MonotonicTime from, bool knows, string said, bool due)
        {
            var again = Restart.Of(log, station, At(from.Plus(knows ? 20 : -30)));
            Assert.Equal(knows, again.GapSeconds is not null);
            using var drive = new RigDrive(rig, again.State, log, from.Plus(20), Evening.AddSeconds(from.Seconds + 20));
            again.Ask(drive.Loop, "socket");
            drive.Go(70);
            log.Flush();
            var state = drive.Loop.State;
            Assert.StartsWith(said, Waits.Sentence(state, Waits.Of(state)!.Value, null), StringComparison.Ordinal);
            Assert.Equal(due, state.AlarmOf(AlarmId.ReleaseDue).Stands);
        }
    }

    /// <summary>Then nobody knows what has run in.</summary>
    [Theory]
    [InlineData(PowerLoss.Stays, true)]
    [InlineData(PowerLoss.Closed, false)]
    public void A_valve_that_stays_open_without_power_does_not_go_on_by_itself_after_a_cut_of_unknown_length(PowerLoss without, bool held)
    {
        using var log = _folder.Open();
        var station = Station();
        station = station with { Safety = station.Safety with { ResumeAfterRestart = true }, Valve = station.Valve with { OnPowerLoss = without } };
        var (rig, _, killedAt) = Night(log, station, hours: 0.25);
        var again = Restart.Of(log, station, At(killedAt.Plus(-30)));
        using var drive = new RigDrive(rig, again.State, log, killedAt.Plus(20), Evening.AddSeconds(killedAt.Seconds + 20));
        drive.ProofTested(Evening);
        again.Ask(drive.Loop, "socket");
        Assert.Equal(!held, drive.Go(60, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.Equal(held, log.Reader.LastEvent(station.Name, Restart.NotResumed)?.Text.Contains("valve.onPowerLoss = stays", StringComparison.Ordinal) ?? false);
    }

    [Fact]
    public void A_restart_knows_what_was_drawn_off()
    {
        using var log = _folder.Open();
        var station = Station() with { DrawOffs = [new(1800, 0.7, 0.02)] };
        var rig = new SimulatedRig(station, 1, []);
        using var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        drive.Begin();
        drive.Go(1800, () => drive.CommitAnd(false));
        _ = drive.Loop.Ask(new Asking(Verb.Drawn, "test", drawn: new Drawn(0.7, 0.02)));
        log.Flush();
        var note = new Note { Id = "n1", Kind = NoteKind.Feed, By = "keeper", Text = "a pinch" };
        drive.Loop.Events.Add(note, drive.Now); // the loop itself would go by the clock of this machine
        log.Append(log.Reader.Last(station.Name, EntryKind.Run)! with { Kind = EntryKind.Note, Body = LogJson.Write(new NoteBody(note)), At = drive.Now });
        drive.Go(300);
        log.Flush();
        var again = Restart.Of(log, station, At(drive.Now.Plus(600)));
        var (before, after) = (drive.Loop.State, again.State);
        Assert.Equal((1, 0.7, 0.7), (after.DrawOffsTold, after.DrawnOffLitres, after.RoomMadeLitres));
        Assert.Equal(before.Forecast.VolumeLitres, after.Forecast.VolumeLitres);
        Assert.InRange(after.Forecast.VolumeLitres.P50, 1, 1.7); // 1.6 L and half a litre more, less 0.7

        // Its picture as well: the marks that it had, this start, and points all along.
        var marks = again.Past.Events.Since(after.StartedAt);
        Assert.Equal(drive.Loop.Events.Since(before.StartedAt), marks.SkipLast(1));
        Assert.Equal([RunEventKind.Valve, RunEventKind.Note, RunEventKind.Drawn, RunEventKind.Start], marks.Select(mark => mark.Kind));
        Assert.Equal("The program started anew; for 10 min before, nothing was watched.", marks[^1].Text);
        var view = new ViewMaker(again.Clock, again).Make(drive.Loop, drive.Now.Plus(600));
        Assert.InRange(view.History.Count, 100, RunHistory.Capacity);
        Assert.True(view.History[0].Seconds < 60 && view.History[^2].Seconds > 2000, $"{view.History[0].Seconds} to {view.History[^2].Seconds} s");
    }

    [Theory]
    [InlineData(20)]
    [InlineData(900)]
    public void A_run_that_may_resume_opens_again_by_itself_after_a_fresh_look_at_every_probe(double gapSeconds)
    {
        using var log = _folder.Open();
        var station = Station();
        station = station with { Safety = station.Safety with { ResumeAfterRestart = true } };
        var (rig, before, killedAt) = Night(log, station, hours: 1);
        var again = Restart.Of(log, station, At(killedAt.Plus(gapSeconds)));
        using var drive = new RigDrive(rig, again.State, log, killedAt.Plus(gapSeconds), Evening.AddSeconds(killedAt.Seconds + gapSeconds));
        _ = drive.Loop.Ask(new Asking(Verb.Restarted, "start"));
        drive.ProbesAlive = false;
        drive.Go(10, () => drive.CommitAnd(false));
        Assert.False(drive.EverOpen);
        drive.ProbesAlive = true;
        Assert.True(drive.Go(30, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        drive.Go(600);
        Assert.Equal(Phase.Dripping, drive.Loop.State.Phase);
        Assert.InRange(drive.Loop.State.OpenSeconds, before.OpenSeconds + 500, before.OpenSeconds + 620);
    }

    /// <summary>It was begun by somebody who said to stay beside it; whether that is still so after a power cut nobody knows. After more than a night the vessel may be gone.</summary>
    [Theory]
    [InlineData(true, 20, true)]
    [InlineData(false, 20, false)]
    [InlineData(true, 11.9 * 3600, true)]
    [InlineData(true, 12.1 * 3600, false)]
    public void A_run_that_may_resume_goes_on_by_itself_only_where_it_may_be_left_alone_and_after_a_night_at_most(bool tried, double gapSeconds, bool resumes)
    {
        using var log = _folder.Open();
        var station = Station();
        station = station with { Safety = station.Safety with { ResumeAfterRestart = true } };
        var (rig, _, killedAt) = Night(log, station, hours: 0.5);
        var started = killedAt.Plus(gapSeconds);
        var again = Restart.Of(log, station, At(started));
        using var drive = new RigDrive(rig, again.State, log, started, Evening.AddSeconds(started.Seconds));
        if (tried) drive.ProofTested(Evening);
        again.Ask(drive.Loop, "socket");
        Assert.Equal(resumes, drive.Go(60, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.Equal(resumes ? Phase.Dripping : Phase.Holding, drive.Loop.State.Phase);
        Assert.Equal(!resumes, log.Reader.HasEvent(station.Name, Restart.NotResumed));
        if (tried && !resumes) Assert.Contains("The program was away for 12 h, and", log.Reader.LastEvent(station.Name, Restart.NotResumed)!.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_float_that_is_wet_after_a_restart_trips()
    {
        using var log = _folder.Open();
        var (rig, _, killedAt) = Night(log, Station(), hours: 0.2, RigFault.Parse("float-cut@800s"));
        var again = Restart.Of(log, Station(), At(killedAt.Plus(300)));
        using var drive = new RigDrive(rig, again.State, log, killedAt.Plus(300), Evening.AddSeconds(killedAt.Seconds + 300));
        _ = drive.Loop.Ask(new Asking(Verb.Restarted, "start"));
        drive.Go(5);
        Assert.Equal((Phase.Tripped, Trip.HighFloat, false), (drive.Loop.State.Phase, drive.Loop.State.Trip, drive.EverOpen));
        log.Flush();
        var marks = Restart.Of(log, Station(), At(drive.Now.Plus(600))).Past.Events.Since(default).Select(mark => mark.Text);
        Assert.Equal(
            ["The valve opened.", "Closed at once: The high float is wet.", "Called: The high float is wet.", "The program started anew; for 5 min before, nothing was watched.", "The program started anew; for 10 min before, nothing was watched."],
            marks);
    }

    [Fact]
    public void A_trip_is_still_a_trip_after_a_restart()
    {
        using var log = _folder.Open();
        var (_, before, killedAt) = Night(log, Station(), hours: 0.3, RigFault.Parse("leak-wet@800s"));
        Assert.Equal(Trip.Leak, before.Trip);
        var again = Restart.Of(log, Station(), At(killedAt.Plus(60)));
        Assert.Equal((Phase.Tripped, Trip.Leak, false), (again.State.Phase, again.State.Trip, again.WasOpen));

        // A start that is stopped while it goes through a long run: the next one told that the log was damaged, and was to be moved away.
        Assert.Throws<OperationCanceledException>(() => Restart.Of(log, Station(), At(killedAt.Plus(60)), stopped: () => true));
    }

    [Fact]
    public void A_trip_that_only_the_log_knows_of_is_still_a_trip()
    {
        using var log = _folder.Open();
        var (_, before, killedAt) = Night(log, Station(), hours: 0.2);
        Assert.Equal(Phase.Dripping, before.Phase);
        var last = log.Reader.Last(before.Station.Name, EntryKind.Run)! with { At = killedAt };
        log.Append(last with { Body = LogJson.Write(new RunBody("tripped", "decided by another version")) });
        log.Append(last with { Kind = EntryKind.Trip, Body = LogJson.Write(new TripBody("overflow-forecast")) });
        log.Flush();
        var again = Restart.Of(log, Station(), At(killedAt.Plus(60)));
        Assert.Equal((Phase.Tripped, Trip.OverflowForecast), (again.State.Phase, again.State.Trip));
    }

    /// <summary>A trip is reset, its limit is raised in the station file, and the program is started again: by the new limit it never closed.</summary>
    [Fact]
    public void A_run_that_the_log_knows_as_held_does_not_go_on_by_itself_because_the_station_file_would_not_have_closed_it()
    {
        using var log = _folder.Open();
        var file = Station();
        var narrow = file with { Safety = file.Safety with { MaxOpenMinutes = 2 } };
        using var drive = new RigDrive(new SimulatedRig(narrow, 1, []), new StationState(narrow), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        drive.Begin();
        drive.Go(130);
        Assert.Equal((Phase.Tripped, Trip.TimeBudget), (drive.Loop.State.Phase, drive.Loop.State.Trip));
        _ = drive.Loop.Ask(new Asking(Verb.Reset, "test"));
        drive.Go(5);
        Assert.Equal(Phase.Holding, drive.Loop.State.Phase);
        log.Flush();
        var again = Restart.Of(log, file with { Safety = file.Safety with { ResumeAfterRestart = true } }, At(drive.Now.Plus(60)));
        Assert.Equal((Phase.Holding, false, 1L), (again.State.Phase, again.WasOpen, again.State.Run?.RunId));
        Assert.Equal(drive.Loop.State.OpenSeconds, again.State.OpenSeconds, 1.0);
    }

    [Fact]
    public void A_station_that_starts_afresh_clears_the_alarms_of_the_run_that_is_gone_and_says_so()
    {
        using var log = _folder.Open();
        var (_, before, _) = Night(log, Station(), hours: 0.3, RigFault.Parse("leak-wet@800s"));
        Assert.Contains(log.Reader.Alarms(before.Station.Name), e => LogJson.Read<AlarmBody>(e.Body!).State == AlarmStanding.Unacknowledged);
        var clock = StationClock.Faster(1, Evening, default);
        var recorder = new Recorder(
            log, new RunNumbers(1), clock, before.Station.Name, log.StartBoot("test", simulated: true), log.Configure(before.Station));
        recorder.ClearLeftOver(new StationState(before.Station), default);
        log.Flush();
        Assert.All(log.Reader.Alarms(before.Station.Name), e => Assert.Equal(AlarmStanding.Normal, LogJson.Read<AlarmBody>(e.Body!).State));
        Assert.True(log.Reader.HasEvent(before.Station.Name, "run-lost"));

        // And the run has ended in the log, so that the next start has nothing to say of it.
        var ended = log.Reader.Last(before.Station.Name, EntryKind.Run)!;
        Assert.Equal((1L, "abandoned"), (ended.RunId, LogJson.Read<RunBody>(ended.Body!).Phase));
        var known = log.LastId;
        recorder.ClearLeftOver(new StationState(before.Station), default);
        log.Flush();
        Assert.Equal(known, log.LastId);
    }

    [Fact]
    public void An_ended_run_is_not_replayed()
    {
        using var log = _folder.Open();
        var station = Station();
        var rig = new SimulatedRig(station, 1, []);
        using var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), Evening);
        drive.Begin();
        _ = drive.Loop.Ask(new Asking(Verb.Finish, "test"));
        drive.Go(200);
        log.Flush();
        var again = Restart.Of(log, station, At(drive.Now));
        Assert.Equal((Phase.Idle, false, null), (again.State.Phase, again.WasOpen, again.State.Run));
    }

    private static Station Station() => DemoStation.Read();

    private static (SimulatedRig Rig, StationState Before, MonotonicTime KilledAt) Night(
        Evenwater.Log.NightLog log, Station station, double hours, params RigFault[] faults)
    {
        var rig = new SimulatedRig(station, 1, faults);
        using var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        drive.Begin();
        for (var i = 0; i < hours * 4; i++)
        {
            drive.Go(900);
            log.Flush();
        }

        return (rig, drive.Loop.State, drive.Now);
    }

    private static FixedTime At(MonotonicTime now) => new(Evening.AddSeconds(now.Seconds));
}
