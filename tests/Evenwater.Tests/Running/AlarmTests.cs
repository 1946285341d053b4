using Evenwater.Commands;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>Alarms asked over the socket, kept in the log, replayed, and taken over by a restart.</summary>
public sealed class AlarmTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();
    private readonly StationDirectory _directory = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task The_list_tells_what_happens_what_was_done_what_to_do_and_by_when_and_the_figures()
    {
        using var log = _folder.Open();
        using var drive = Drive(log, "leak-wet@60s");
        Assert.Equal("sim-river: no alarm stands.\n\nNobody was called in the last 24 h.", await AskedAsync(drive, new("alarms")));
        drive.Begin();
        drive.Go(120);
        var text = await AskedAsync(drive, new("alarms"));
        foreach (var said in new[]
                 {
                     "these alarms stand", "leak: unacknowledged, critical, since 20:01", "What: Water on the floor.", "If nothing is done: The floor", "Done: The valve is closed",
                     "To do: Keep away from wet electrical parts.", "By 20:06.", "Calls in the last 24 h: 1; most in ten minutes: 1.", "Chattering (3 in a minute): none.",
                 })
        {
            Assert.Contains(said, text, StringComparison.Ordinal);
        }

        Assert.Equal("Seen. No trip was changed.", await AskedAsync(drive, new("acknowledge", Alarm: "leak")));
        Assert.Contains("leak: acknowledged", await AskedAsync(drive, new("alarms")), StringComparison.Ordinal);
        Assert.Equal(Trip.Leak, drive.Loop.State.Trip);
        Assert.Contains("drip-slow: normal, medium", await AskedAsync(drive, new("alarms", Note: "all")), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("shelve", "leak", 3600.0, "noise", "never shelved")]
    [InlineData("shelve", "flow-while-closed", 3600.0, "noise", "never shelved")]
    [InlineData("retire", "high-float", null, "noise", "never shelved")]
    [InlineData("shelve", "drip-slow", 9 * 3600.0, "long", "Refused: 9 h is how long it was to be put aside; allowed is above 0, to 8 h")]
    [InlineData("shelve", "drip-slow", null, "no time", "Refused: 0 h is how long")]
    [InlineData("shelve", "drip-slow", 60.0, null, "the reason is empty")]
    [InlineData("shelve", "drip-slow", 60.0, " \t", "the reason is empty")]
    [InlineData("shelve", "wet-feet", 60.0, "x", "\"wet-feet\" is not one of high-float, leak")]
    [InlineData("unshelve", "drip-slow", null, null, "normal, not shelved")]
    [InlineData("return", "drip-slow", null, null, "normal, not out of service")]
    [InlineData("acknowledge", "drip-slow", null, null, "nothing to acknowledge")]
    public async Task What_is_not_allowed_is_refused_in_words_and_logged(string verb, string alarm, double? seconds, string? why, string said)
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        Assert.Contains(said, await AskedAsync(drive, new(verb, Alarm: alarm, Seconds: seconds, Note: why)), StringComparison.Ordinal);
        Assert.All(AlarmTable.All, row => Assert.Equal(AlarmStanding.Normal, drive.Loop.State.AlarmOf(row.Id).Standing));
        log.Flush();
        if (alarm != "wet-feet")
        {
            Assert.False(LogJson.Read<CommandBody>(log.Reader.Last("sim-river", EntryKind.Command)!.Body!).Obeyed);
        }
    }

    /// <summary>After a power cut a clock may be behind: what has happened does not lie ahead for that, or a leak that nobody has seen would not call again for hours.</summary>
    [Fact]
    public void An_alarm_that_stood_before_a_start_with_the_clock_behind_stands_since_then_at_the_latest()
    {
        using var log = _folder.Open();
        var night = new Night(log);
        night.Add(EntryKind.Alarm, new AlarmBody("leak", AlarmStanding.Unacknowledged, Priority.Critical, "x", "y", "z") { Since = LogFolder.Evening, Calls = true });
        night.Add(EntryKind.Alarm, new AlarmBody("flow-while-closed", AlarmStanding.Unacknowledged, Priority.Critical, "x", "y", "z") { Since = LogFolder.Evening, Calls = true, UnseenCalls = 4, Escalated = true });
        night.Add(EntryKind.Alarm, new AlarmBody("drip-slow", AlarmStanding.Shelved, Priority.Medium, "x", "y", "z") { ShelvedUntil = LogFolder.Evening.AddHours(1), Why = "flushing" });
        log.Flush();
        var (state, now) = (new StationState(DemoStation.Read()), MonotonicTime.FromSeconds(50_000));
        AlarmMemory.TakeOver(state, log.Reader.Alarms("sim-river"), now, LogFolder.Evening.AddHours(-3));
        var leak = state.AlarmOf(AlarmId.Leak);
        Assert.Equal((now, now, now), (leak.ActiveSince, leak.StandingSince, leak.CalledAt));

        // Who was called in vain was called in vain: the next call is no first one, and still asks for somebody else.
        Assert.Equal((1, 4), (leak.UnseenCalls, state.AlarmOf(AlarmId.FlowWhileClosed).UnseenCalls));
        Assert.True(state.AlarmOf(AlarmId.FlowWhileClosed).IsEscalated(AlarmTable.Of(AlarmId.FlowWhileClosed)));
        Assert.Equal(now.Plus(4 * 3600), state.AlarmOf(AlarmId.DripSlow).ShelvedUntil); // put aside is what may end later
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task What_is_put_aside_is_so_after_a_restart_with_its_reason_and_its_end(bool inRun)
    {
        using var log = _folder.Open();
        MonotonicTime killedAt;
        using (var drive = Drive(log))
        {
            Assert.Contains("shelved for 2 h", await AskedAsync(drive, new("shelve", Alarm: "drip-slow", Seconds: 7200, Note: "flushing\nthe tube")), StringComparison.Ordinal);
            Assert.EndsWith("is shelved already. First 'evenwater unshelve drip-slow', then ask again.", await AskedAsync(drive, new("retire", Alarm: "drip-slow", Note: "sent in")), StringComparison.Ordinal);
            if (inRun)
            {
                drive.Begin();
            }

            Assert.Contains("out of service", await AskedAsync(drive, new("retire", Alarm: "probe-trouble", Note: "sent in")), StringComparison.Ordinal);
            drive.Go(600);
            log.Flush();
            killedAt = drive.Now;
        }

        var again = Again(log, killedAt, 600);
        Assert.Equal((AlarmStanding.Shelved, "flushing the tube"), (again.State.AlarmOf(AlarmId.DripSlow).Standing, again.State.AlarmOf(AlarmId.DripSlow).Why));
        Assert.Equal((AlarmStanding.OutOfService, "sent in"), (again.State.AlarmOf(AlarmId.ProbeTrouble).Standing, again.State.AlarmOf(AlarmId.ProbeTrouble).Why));
        var left = again.State.AlarmOf(AlarmId.DripSlow).ShelvedUntil.SecondsSince(again.Clock.Now);
        Assert.InRange(left, 7200 - 1260, 7200 - 1200); // ten minutes before the end, ten of being away

        var late = Again(log, killedAt, 7200);
        using var after = new RigDrive(new SimulatedRig(DemoStation.Read(), 1, []), late.State, log, late.Clock.Now, Evening.AddSeconds(killedAt.Seconds + 7200));
        after.Go(2);
        Assert.Equal((AlarmStanding.Normal, AlarmStanding.OutOfService), (late.State.AlarmOf(AlarmId.DripSlow).Standing, late.State.AlarmOf(AlarmId.ProbeTrouble).Standing));
    }

    [Fact]
    public void A_database_that_refuses_is_one_alarm_until_it_takes_again_and_nothing_is_closed()
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        _directory.Set(drive.Loop);
        drive.Begin();
        drive.Go(60);
        _directory.SendingRefused("sim-creek-that-is-gone");
        drive.Go(5);
        Assert.Equal((Phase.Dripping, AlarmStanding.Unacknowledged), (drive.Loop.State.Phase, drive.Loop.State.AlarmOf(AlarmId.SendingRefused).Standing));
        log.Flush();
        var told = Assert.Single(log.Reader.Alarms(drive.Loop.State.Station.Name));
        Assert.True(LogJson.Read<AlarmBody>(told.Body!) is { Name: "sending-refused", Priority: Priority.Low, Calls: true });

        var replayed = new StationState(drive.Loop.State.Station);
        LogReplay.Run(log.Reader.Read(0, 10_000), replayed);
        Assert.Equal(AlarmStanding.Unacknowledged, replayed.AlarmOf(AlarmId.SendingRefused).Standing);

        _directory.SendingRefused(null);
        drive.Go(5);
        Assert.Equal(AlarmStanding.ReturnedUnacknowledged, drive.Loop.State.AlarmOf(AlarmId.SendingRefused).Standing);

        // Readings that had to make room before they were sent are the same alarm, whatever the database says now.
        drive.Loop.Missed();
        _directory.SendingRefused(null);
        drive.Go(2);
        Assert.Equal(AlarmStanding.Unacknowledged, drive.Loop.State.AlarmOf(AlarmId.SendingRefused).Standing);
    }

    [Fact]
    public void A_trip_that_nobody_has_seen_calls_no_second_time_because_of_a_restart()
    {
        using var log = _folder.Open();
        MonotonicTime killedAt;
        SimulatedRig rig;
        using (var drive = Drive(log, "no-answer@60s"))
        {
            drive.Begin();
            Assert.True(drive.Go(9000, () => drive.Loop.State.Phase == Phase.Tripped));
            drive.Go(10);
            log.Flush();
            (killedAt, rig) = (drive.Now, drive.Rig);
        }

        var again = Again(log, killedAt, 60);
        Assert.Equal(AlarmStanding.Unacknowledged, again.State.AlarmOf((AlarmId)again.State.Trip).Standing);
        var calls = log.Reader.AlarmsSince("sim-river", Evening).Count(e => LogJson.Read<AlarmBody>(e.Body!).Calls);
        Assert.InRange(calls, 1, 3);
        using var after = new RigDrive(rig, again.State, log, killedAt.Plus(60), Evening.AddSeconds(killedAt.Seconds + 60));
        after.Go(120);
        log.Flush();
        Assert.Equal(calls, log.Reader.AlarmsSince("sim-river", Evening).Count(e => LogJson.Read<AlarmBody>(e.Body!).Calls));
    }

    /// <summary>A limit that is set in the midst of a run: the replay comes to an alarm of which nobody was told.</summary>
    [Fact]
    public void An_alarm_that_only_the_replay_comes_to_calls_after_a_restart()
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        drive.Begin();
        for (var minutes = 0; minutes < 40; minutes += 10)
        {
            drive.Go(600);
            log.Flush();
        }

        drive.Dispose();
        var station = DemoStation.Read() with { Tank = new Tank { MaxCelsius = 20 } };
        var again = Restart.Of(log, station, new FixedTime(Evening.AddSeconds(drive.Now.Seconds + 60)));
        using var after = new RigDrive(drive.Rig, again.State, log, again.Clock.Now, Evening.AddSeconds(drive.Now.Seconds + 60));
        _ = after.Loop.Ask(new Asking(Verb.Restarted, "start"));
        after.Go(1900, () => after.CommitAnd(false) && after.Now.Seconds < 0);
        log.Flush();
        Assert.Single(log.Reader.AlarmsSince("sim-river", Evening), e => LogJson.Read<AlarmBody>(e.Body!) is { Name: "tank-temperature", Calls: true });
    }

    [Fact]
    public async Task A_leak_of_an_ended_run_is_still_told_after_a_restart_and_ends_with_a_reset()
    {
        using var log = _folder.Open();
        using var drive = Drive(log, "leak-wet@60s");
        drive.Go(120);
        log.Flush();
        var again = Again(log, drive.Now, 60);
        Assert.Equal((Phase.Idle, AlarmStanding.Unacknowledged), (again.State.Phase, again.State.AlarmOf(AlarmId.Leak).Standing));
        using var after = new RigDrive(new SimulatedRig(DemoStation.Read(), 1, []), again.State, log, again.Clock.Now, Evening.AddSeconds(240));
        _directory.Set(after.Loop);
        after.Go(70);
        Assert.Equal(AlarmStanding.LatchedUnacknowledged, again.State.AlarmOf(AlarmId.Leak).Standing);
        Assert.Contains("What was latched", await AskedAsync(after, new("reset")), StringComparison.Ordinal);
        Assert.Equal(AlarmStanding.Normal, again.State.AlarmOf(AlarmId.Leak).Standing);
        Assert.Contains("nothing to reset", await AskedAsync(after, new("reset")), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_night_in_which_alarms_were_put_aside_replays_to_the_same_alarms()
    {
        using var log = _folder.Open();
        using var drive = Drive(log, "no-answer@10m");
        drive.Begin();
        await AskedAsync(drive, new("shelve", Alarm: "probe-trouble", Seconds: 1200, Note: "known"));
        await AskedAsync(drive, new("retire", Alarm: "drip-slow", Note: "known"));
        drive.Go(1800, () => drive.CommitAnd(false));
        await AskedAsync(drive, new("acknowledge"));
        await AskedAsync(drive, new("return", Alarm: "drip-slow"));
        log.Flush();
        var state = new StationState(DemoStation.Read());
        var replayed = new List<(MonotonicTime, AlarmId, AlarmStanding, bool)>();
        LogReplay.Run(log.Reader.Read(0, int.MaxValue), state, (Entry cycle, in EffectBuffer effects) =>
        {
            for (var i = 0; i < effects.Count; i++)
            {
                if (effects[i].Kind == EffectKind.AlarmChanged)
                {
                    replayed.Add((cycle.At, effects[i].Alarm, effects[i].Standing, effects[i].Calls));
                }
            }
        });
        var recorded = log.Reader.Read(0, int.MaxValue).Where(e => e.Kind == EntryKind.Alarm)
            .Select(e => (e.At, Body: LogJson.Read<AlarmBody>(e.Body!))).Select(e => (e.At, AlarmTable.Named(e.Body.Name)!.Id, e.Body.State, e.Body.Calls)).ToList();
        Assert.Contains(recorded, e => e is { State: AlarmStanding.Shelved });
        Assert.Contains(recorded, e => e is { Id: AlarmId.ProbeTrouble, Calls: true });
        Assert.Equal(recorded, replayed);
    }

    [Fact]
    public void The_figures_of_the_last_day_are_taken_over_by_a_restart()
    {
        using var log = _folder.Open();
        using var drive = Drive(log, "leak-wet@60s");
        drive.Go(700);
        log.Flush();
        var tally = new AlarmTally();
        AlarmMemory.Count(tally, log.Reader.AlarmsSince("sim-river", Evening.AddHours(-12)), MonotonicTime.FromSeconds(5), Evening.AddHours(12));
        Assert.Equal(2, tally.Measure(drive.Loop.State, MonotonicTime.FromSeconds(5)).LastDay); // at once, and after ten minutes unseen
    }

    [Fact]
    public void A_start_with_an_alarm_without_an_act_is_refused()
    {
        Assert.Null(ServeCommand.Refused(AlarmTable.All));
        var refused = ServeCommand.Refused([.. AlarmTable.All.Select(row => row.Id == AlarmId.Leak ? row with { Act = " " } : row)]);
        Assert.Contains("alarm leak: Act = \" \"; allowed: what a person should do", refused, StringComparison.Ordinal);
    }

    private async Task<string> AskedAsync(RigDrive drive, ControlAsk ask)
    {
        var asked = _directory.ObeyAsync(ask);
        drive.Go(1.5);
        return (await asked).Text;
    }

    private static Restart Again(NightLog log, MonotonicTime killedAt, double seconds) =>
        Restart.Of(log, DemoStation.Read(), new FixedTime(Evening.AddSeconds(killedAt.Seconds + seconds)));

    private RigDrive Drive(NightLog log, params string[] faults)
    {
        var station = DemoStation.Read();
        var rig = new SimulatedRig(station, 1, [.. faults.Select(RigFault.Parse)]);
        var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        _directory.Set(drive.Loop);
        drive.Go(3);
        return drive;
    }

    private sealed class FixedTime(DateTimeOffset now) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => now;
    }
}
