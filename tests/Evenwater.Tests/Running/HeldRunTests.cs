using System.Text.Json;
using Evenwater.Commands;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>What a begin means where a run is held: to go on with that run, with what it knows, and with nothing else.</summary>
public sealed class HeldRunTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);
    private static readonly Station File = DemoStation.Read();

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Who_asks_to_go_on_with_a_run_that_somebody_ends_in_the_same_moment_begins_no_other()
    {
        using var log = _folder.Open();
        using var drive = Held(log);
        var finish = drive.Loop.Ask(new Asking(Verb.Finish, "one"));
        var begin = drive.Loop.Ask(new Asking(Verb.Begin, "another", new StartKnown(Attended: true)));
        drive.Go(3);
        Assert.True((await finish).Obeyed);
        Assert.Equal((Phase.Abandoned, 1L), (drive.Loop.State.Phase, drive.Loop.State.Run?.RunId));
        Assert.Equal("Refused: the run of sim-river that this was to go on with has ended meanwhile. Measure what is in the vessel, and begin another.", (await begin).Text);
    }

    /// <summary>A terminal had asked "Go on?" while the run was ended in another, and the answer began a run in an emptied vessel.</summary>
    [Fact]
    public async Task Who_was_asked_about_a_run_that_was_ended_meanwhile_begins_no_other()
    {
        using var log = _folder.Open();
        using var drive = Held(log);
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        _ = drive.Loop.Ask(new Asking(Verb.Finish, "one"));
        drive.Go(3);
        var answer = directory.ObeyAsync(JsonSerializer.Deserialize<ControlAsk>(JsonSerializer.Serialize(
            new ControlAsk("begin", "sim-river", new StartKnown(Attended: true)) { GoesOn = true }, ControlJson.Options), ControlJson.Options)!);
        drive.Go(3);
        Assert.StartsWith("Refused: the run of sim-river that this was to go on with has ended meanwhile.", (await answer).Text, StringComparison.Ordinal);
        Assert.Equal((Phase.Abandoned, 1L), (drive.Loop.State.Phase, drive.Loop.State.Run?.RunId));
        Assert.DoesNotContain("oesOn", JsonSerializer.Serialize(new ControlAsk("begin"), ControlJson.Options), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task What_a_cycle_that_stood_still_did_not_answer_it_does_not_do_when_it_goes_on_unless_it_closes(bool close)
    {
        using var log = _folder.Open();
        using var drive = Held(log);
        var directory = new StationDirectory { Patience = TimeSpan.FromMilliseconds(20) };
        directory.Set(drive.Loop);
        if (close) Assert.True(drive.Go(30, Begun(drive)));
        var answer = await directory.AskAsync("sim-river", new Asking(close ? Verb.Close : Verb.Begin, "page", close ? null : new StartKnown(Attended: true)), TestContext.Current.CancellationToken);
        Assert.False(answer.Obeyed);
        Assert.Equal(!close, answer.Text.Contains("called off", StringComparison.Ordinal));
        drive.Go(10, () => drive.CommitAnd(false));
        Assert.Equal((Phase.Holding, false), (drive.Loop.State.Phase, drive.Rig.ValveOpen));
    }

    private static Func<bool> Begun(RigDrive drive)
    {
        _ = drive.Loop.Ask(new Asking(Verb.Begin, "one", new StartKnown(Attended: true)));
        return () => drive.CommitAnd(drive.Rig.ValveOpen);
    }

    [Fact]
    public async Task Volumes_told_while_it_was_tripped_are_not_passed_over_in_silence_once_it_was_reset()
    {
        using var log = _folder.Open();
        using var drive = Held(log, tripped: true);
        var reset = drive.Loop.Ask(new Asking(Verb.Reset, "one"));
        var begin = drive.Loop.Ask(new Asking(Verb.Begin, "one", new StartKnown(3, Attended: true)));
        drive.Go(3);
        Assert.True((await reset).Obeyed);
        Assert.StartsWith("Refused: sim-river holds a run, and its volume is known from that.", (await begin).Text, StringComparison.Ordinal);
        Assert.Equal(Phase.Holding, drive.Loop.State.Phase);
    }

    /// <summary>The first run was not finished when the next animals came: it went on for them with the first ones' volume and mass, and nobody was told.</summary>
    [Fact]
    public async Task Other_animals_or_another_pacing_than_it_began_with_are_not_passed_over_in_silence_by_a_run_that_goes_on()
    {
        using var log = _folder.Open();
        using var drive = Held(log);
        foreach (var other in new[] { new StartKnown(Attended: true) { Animals = new Animals(3, null, "n9") }, new StartKnown(Attended: true, Unpaced: true) })
        {
            var begin = drive.Loop.Ask(new Asking(Verb.Begin, "one", other));
            drive.Go(3);
            Assert.StartsWith("Refused: sim-river holds a run, which goes on with the animals and the pacing that it began with.", (await begin).Text, StringComparison.Ordinal);
        }

        Assert.Equal(Phase.Holding, drive.Loop.State.Phase);
    }

    /// <summary>The log was damaged and begun anew: nothing is known of any run, and what opens must be a run of its own, with a forecast and a budget.</summary>
    [Fact]
    public async Task A_trip_without_a_run_that_is_reset_leaves_no_run_to_go_on_with()
    {
        using var log = _folder.Open();
        var state = new StationState(File);
        state.Latch(Trip.LogLost);
        using var drive = Drive(log, state, MonotonicTime.FromSeconds(1));
        _ = drive.Loop.Ask(new Asking(Verb.Reset, "one"));
        drive.Go(3);
        Assert.Equal(Phase.Idle, state.Phase);
        var begin = drive.Loop.Ask(new Asking(Verb.Begin, "one", new StartKnown(3, Attended: true)));
        Assert.True(drive.Go(30, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.Equal("sim-river opens as soon as the opening is written down.", (await begin).Text);
        Assert.Equal((1L, 3.0), (state.Run?.RunId, state.Run?.Prior.StartVolumeLitres));
        Assert.NotNull(state.Estimator);
    }

    [Fact]
    public void It_is_a_trip_at_the_next_start_as_well_and_no_longer_once_it_was_reset()
    {
        using var log = _folder.Open();
        var state = new StationState(File);
        var clock = StationClock.Faster(1, Evening, default);
        var recorder = new Recorder(log, new RunNumbers(0), clock, File.Name, log.StartBoot("test", simulated: true), log.Configure(File));
        Restart.LatchUnknown(state, recorder, default);
        log.Flush();
        Assert.Equal((Phase.Tripped, Trip.LogLost), (state.Phase, state.Trip));

        var again = Restart.Of(log, File, new FixedTime(Evening.AddMinutes(5))).State;
        Assert.Equal((Phase.Tripped, Trip.LogLost, null), (again.Phase, again.Trip, again.Run));
        using var drive = Drive(log, again, MonotonicTime.FromSeconds(300));
        _ = drive.Loop.Ask(new Asking(Verb.Reset, "one"));
        drive.Go(3);
        log.Flush();
        Assert.Equal(Phase.Idle, Restart.Of(log, File, new FixedTime(Evening.AddMinutes(10))).State.Phase);
    }

    /// <summary>An entry about an alarm was damaged after the last run had ended, so a start begins tripped: nothing of that run goes on, whatever is started or reset after it.</summary>
    [Fact]
    public async Task A_run_that_has_ended_does_not_come_back_behind_a_trip_without_a_run()
    {
        using var log = _folder.Open();
        SimulatedRig rig;
        MonotonicTime now;
        using (var drive = Held(log))
        {
            Assert.True((await Asked(drive, Verb.Finish)).Obeyed);
            (rig, now) = (drive.Rig, drive.Now);
        }

        log.Flush();
        var first = Restart.Of(log, File, new FixedTime(Evening.AddSeconds(now.Seconds + 60)));
        Restart.LatchUnknown(first.State, new Recorder(log, new RunNumbers(1), first.Clock, File.Name, log.StartBoot("test", simulated: true), log.Configure(File)), first.Clock.Now);
        log.Flush();

        var again = Restart.Of(log, File, new FixedTime(Evening.AddSeconds(now.Seconds + 120)));
        Assert.Equal((Phase.Tripped, Trip.LogLost, null), (again.State.Phase, again.State.Trip, again.State.Run));
        using (var drive = Drive(log, again.State, now.Plus(120), rig))
        {
            drive.Go(3);
            Assert.True((await Asked(drive, Verb.Reset)).Obeyed);
            Assert.Equal(Phase.Idle, drive.Loop.State.Phase);
        }

        log.Flush();
        Assert.Null(Restart.Of(log, File, new FixedTime(Evening.AddSeconds(now.Seconds + 180))).State.Run);
    }

    /// <summary>Somebody found out in mid-run that the pail is smaller, wrote it into the station file and restarted the service: the run's forecast still reckons with the old brim.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_run_whose_vessel_the_station_file_says_otherwise_by_now_does_not_go_on(bool dripping)
    {
        using var log = _folder.Open();
        var (rig, started) = Killed(log, dripping);
        var file = File with { Vessel = File.Vessel with { BrimLitres = 9 }, Safety = File.Safety with { ResumeAfterRestart = true, MaxInflowLitres = 7 } };
        var again = Restart.Of(log, file, new FixedTime(Evening.AddSeconds(started.Seconds)));
        using var drive = Drive(log, again.State, started, rig);
        again.Ask(drive.Loop, "socket");
        Assert.False(drive.Go(15, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.Equal(Phase.Holding, drive.Loop.State.Phase);
        Assert.Equal(dripping, log.Reader.HasEvent(file.Name, Restart.NotResumed));

        const string Why = "vessel.brimLitres = 9 in the station file, but the run of sim-river began with 11.6 and is forecast by that.";
        var begin = drive.Loop.Ask(new Asking(Verb.Begin, "one", new StartKnown(Attended: true)));
        Assert.False(drive.Go(15, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.StartsWith($"Refused: {Why} Finish it", (await begin).Text, StringComparison.Ordinal);

        Assert.True((await Asked(drive, Verb.Finish)).Obeyed);
        Assert.True((await Asked(drive, Verb.Begin)).Obeyed);
        Assert.Equal(9, drive.Loop.State.Run!.Prior.BrimLitres);
    }

    /// <summary>A broker hands over at once what it kept, and a keeper says close again and again: while the station goes through its log nothing was closed, and then the run went on by itself.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_close_that_comes_before_its_station_is_there_comes_before_its_run_goes_on_by_itself(bool close)
    {
        using var log = _folder.Open();
        var (rig, started) = Killed(log, true);
        var directory = new StationDirectory { Expected = [File.Name], Patience = TimeSpan.Zero };
        if (close)
        {
            var early = await directory.ObeyAsync(new("close"));
            Assert.Equal((false, "sim-river has not reported yet: the program starts it and goes through its log, and its valve is closed. It is closed as soon as it is there, and goes on with no run."), (early.Ok, early.Text));
            Assert.Equal(early.Text, (await directory.ObeyAsync(new("close", "river"))).Text);
        }

        var again = Restart.Of(log, File with { Safety = File.Safety with { ResumeAfterRestart = true } }, new FixedTime(Evening.AddSeconds(started.Seconds)));
        using var drive = Drive(log, again.State, started, rig);
        directory.Set(drive.Loop);
        again.Ask(drive.Loop, "socket");
        Assert.Equal(!close, drive.Go(15, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.Equal(close ? Phase.Holding : Phase.Dripping, drive.Loop.State.Phase);
    }

    /// <summary>A computer without a battery for its clock comes back with a time before the cut: how long it was away, nobody knows.</summary>
    [Theory]
    [InlineData(-3600)]
    [InlineData(1200)]
    public void A_power_cut_that_the_clock_can_not_measure_is_not_told_as_a_second(double seconds)
    {
        using var log = _folder.Open();
        using var drive = Held(log, dripping: true);
        log.Flush();
        var again = Restart.Of(log, File, new FixedTime(Evening.AddSeconds(drive.Now.Seconds + seconds)));
        var told = again.Past.Events.Since(default)[^1].Text;
        Assert.Equal(seconds > 0 ? "The program started anew; for 20 min before, nothing was watched." : "The program started anew; nothing was watched before, and the clock can't tell for how long.", told);
    }

    /// <summary>Who reads the valve from the log must not take it for open from the power cut on.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)] // an entry about an alarm was damaged: the start begins tripped
    public void The_log_says_that_the_valve_was_told_to_close_by_a_restart(bool latched)
    {
        using var log = _folder.Open();
        var (rig, started) = Killed(log, true);
        Assert.True(LogJson.Read<ValveBody>(log.Reader.Last(File.Name, EntryKind.Valve)!.Body!).Open);
        var again = Restart.Of(log, File, new FixedTime(Evening.AddSeconds(started.Seconds)));
        if (latched)
        {
            again.State.Latch(Trip.LogLost);
        }

        using var drive = Drive(log, again.State, started, rig);
        again.Ask(drive.Loop, "socket");
        drive.Go(5);
        log.Flush();
        Assert.Equal(latched ? Phase.Tripped : Phase.Holding, drive.Loop.State.Phase);
        Assert.False(LogJson.Read<ValveBody>(log.Reader.Last(File.Name, EntryKind.Valve)!.Body!).Open);
    }

    private static Task<Answer> Asked(RigDrive drive, Verb verb)
    {
        var asked = drive.Loop.Ask(new Asking(verb, "one", verb == Verb.Begin ? new StartKnown(Attended: true) : null));
        drive.Go(2);
        return asked;
    }

    /// <summary>A run that dripped for a little and was closed, or tripped, or drips on.</summary>
    private static RigDrive Held(NightLog log, bool tripped = false, bool dripping = false)
    {
        var drive = Drive(log, new StationState(File), MonotonicTime.FromSeconds(1));
        drive.Begin();
        drive.Go(70);
        if (tripped)
        {
            drive.Loop.State.Latch(Trip.Blind);
            drive.Go(3);
        }
        else if (!dripping)
        {
            _ = drive.Loop.Ask(new Asking(Verb.Close, "test"));
            drive.Go(3);
        }

        Assert.Equal(tripped ? Phase.Tripped : dripping ? Phase.Dripping : Phase.Holding, drive.Loop.State.Phase);
        return drive;
    }

    /// <summary>The program died with such a run; its water, and when it is started again.</summary>
    private static (SimulatedRig Rig, MonotonicTime Started) Killed(NightLog log, bool dripping)
    {
        using var drive = Held(log, dripping: dripping);
        log.Flush();
        return (drive.Rig, drive.Now.Plus(20));
    }

    /// <summary>A station whose proof test is done.</summary>
    private static RigDrive Drive(NightLog log, StationState state, MonotonicTime now, SimulatedRig? rig = null)
    {
        var drive = new RigDrive(rig ?? new SimulatedRig(File, 1, []), state, log, now, Evening.AddSeconds(now.Seconds));
        drive.ProofTested(Evening);
        if (rig is null)
        {
            drive.Go(3);
        }

        return drive;
    }
}
