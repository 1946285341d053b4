using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>When the weekly test calls, over weeks; dates and hours are those of the station's own zone, counted by hand.</summary>
public sealed class WeeklyTestTests : IDisposable
{
    // UTC+2, and summer time of our own making: at 11:30 on 9 March it is 12:30, at 12:30 on 16 March it is 11:30 again.
    private static readonly TimeZoneInfo s_zone = TimeZoneInfo.CreateCustomTimeZone(
        "own", TimeSpan.FromHours(2), "own", "own", "own summer",
        [
            TimeZoneInfo.AdjustmentRule.CreateAdjustmentRule(
                new DateTime(2026, 1, 1), new DateTime(2026, 12, 31), TimeSpan.FromHours(1),
                TimeZoneInfo.TransitionTime.CreateFixedDateRule(new DateTime(1, 1, 1, 11, 30, 0), 3, 9), TimeZoneInfo.TransitionTime.CreateFixedDateRule(new DateTime(1, 1, 1, 12, 30, 0), 3, 16)),
        ]);

    private static readonly DateTimeOffset s_first = new(2026, 3, 2, 9, 0, 0, TimeSpan.FromHours(2));

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Once_a_week_at_noon_also_where_summer_time_skips_noon_and_where_it_has_it_twice()
    {
        using var log = _folder.Open();
        Assert.Equal(TimeSpan.FromHours(3), s_zone.GetUtcOffset(new DateTimeOffset(2026, 3, 9, 11, 30, 0, TimeSpan.FromHours(2))));
        Assert.Equal(["03-02 12:00", "03-09 12:30", "03-16 12:00", "03-23 12:00"], new Weeks(log, new(s_first, s_zone)).Go(25).Called);
    }

    [Fact]
    public void At_the_hour_of_the_station_file_or_not_at_all()
    {
        using var log = _folder.Open();
        Assert.Equal([], new Weeks(log, new(s_first, s_zone), new() { Calls = false }).Go(15).Called);
        Assert.Equal(["03-02 23:00", "03-09 23:00"], new Weeks(log, new(s_first, s_zone), new() { AtHour = 23 }).Go(8).Called);
    }

    [Fact]
    public void It_clears_by_itself_after_ten_minutes_and_is_an_event_and_an_alarm_in_the_log()
    {
        using var log = _folder.Open();
        var weeks = new Weeks(log, new(s_first, s_zone)).Go((180 + 9) / 1440.0);
        Assert.Equal(AlarmStanding.Unacknowledged, weeks.Standing);
        Assert.Equal(AlarmStanding.Normal, weeks.Go(1 / 1440.0).Standing);
        var told = log.Reader.AlarmsSince("creek", s_first).Select(entry => LogJson.Read<AlarmBody>(entry.Body!)).ToList();
        Assert.Equal([("weekly-test", true), ("weekly-test", false)], told.Select(body => (body.Name, body.Calls)));
        Assert.Equal((Priority.Low, true), (told[0].Priority, told[0].Title.Contains("test", StringComparison.Ordinal)));
        Assert.Equal(s_first.AddHours(27), told[0].ByWhen);
        Assert.Contains("nothing is wrong", log.Reader.LastEvent("creek", "weekly-test")!.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(6, "03-09 12:30")] // the sixth day at three: not due yet
    [InlineData(8, "03-10 04:03")] // the eighth: missed; in summer time by then, two minutes after the first cycle
    public void What_was_missed_while_the_program_was_stopped_comes_soon_after_the_next_start_once(int days, string at)
    {
        using var log = _folder.Open();
        Assert.Equal(["03-02 12:00"], new Weeks(log, new(s_first, s_zone)).Go(0.5).Called);
        var time = new SetTime(s_first.AddDays(days).AddHours(-6), s_zone);
        Assert.Equal([at], new Weeks(log, time).Go(3.5).Called);
        Assert.Equal([], new Weeks(log, time).Go(0.5).Called);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void While_a_real_alarm_is_not_acknowledged_it_waits_and_not_into_the_night(bool acknowledgedInTime)
    {
        using var log = _folder.Open();
        var weeks = new Weeks(log, new(s_first, s_zone)) { Refused = true }.Go(5 / 24.0); // 14:00
        if (!acknowledgedInTime)
        {
            weeks.Go(6 / 24.0); // 20:00
        }

        Assert.Empty(weeks.Called);
        weeks.Acknowledge();
        Assert.Equal([acknowledgedInTime ? "03-02 14:00" : "03-03 12:00"], weeks.Go(1).Called.Select(at => at[..^1] + "0"));
    }

    [Fact]
    public void A_missed_one_that_a_real_alarm_holds_up_waits_for_its_hour()
    {
        using var log = _folder.Open();
        new Weeks(log, new(s_first, s_zone)).Go(0.5);
        var weeks = new Weeks(log, new(s_first.AddDays(8).AddHours(-6), s_zone)) { Refused = true }.Go(1 / 24.0);
        weeks.Acknowledge();
        Assert.Equal(["03-10 12:00"], weeks.Go(1).Called);
    }

    [Fact]
    public void A_real_alarm_ends_a_test_that_stands()
    {
        using var log = _folder.Open();
        var weeks = new Weeks(log, new(s_first, s_zone)).Go(182 / 1440.0);
        Assert.Equal(AlarmStanding.Unacknowledged, weeks.Standing);
        weeks.Refused = true;
        Assert.Equal(AlarmStanding.Normal, weeks.Go(2 / 1440.0).Standing);
    }

    [Fact]
    public void A_clock_that_was_never_set_calls_nobody_until_it_is()
    {
        using var log = _folder.Open();
        var time = new SetTime(DateTimeOffset.UnixEpoch, s_zone);
        var weeks = new Weeks(log, time).Go(9);
        Assert.Empty(weeks.Called);
        time.Set(s_first.AddHours(9));
        Assert.Equal(["03-03 12:00"], weeks.Go(2).Called);
    }

    [Fact]
    public void A_last_one_of_a_clock_that_was_years_ahead_puts_nothing_off()
    {
        using var log = _folder.Open();
        Assert.Single(new Weeks(log, new(s_first.AddYears(4), s_zone)).Go(0.5).Called);
        Assert.Equal(["03-02 12:00"], new Weeks(log, new(s_first, s_zone)).Go(1).Called);
    }

    [Fact]
    public async Task Never_while_water_runs_then_as_every_alarm_and_the_very_same_in_a_replay()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        var rig = new SimulatedRig(station, 1, []);
        var until = MonotonicTime.FromSeconds(0);
        var state = new StationState(station);
        using (var drive = new RigDrive(rig, state, log, MonotonicTime.FromSeconds(1), s_first.AddHours(3).AddMinutes(-1)))
        {
            drive.Loop.Recall(log.Reader);
            drive.Begin();
            drive.Go(300); // past noon
            Assert.Equal(AlarmStanding.Normal, drive.Loop.State.AlarmOf(AlarmId.WeeklyTest).Standing);
            _ = drive.Loop.Ask(new Asking(Verb.Close, "test"));
            drive.Go(2);
            var finished = drive.Loop.Ask(new Asking(Verb.Finish, "test"));
            drive.Go(2);
            Assert.True((await finished).Obeyed);
            var shown = drive.Loop.Shown.Alarms;
            Assert.Equal(("weekly-test", "unacknowledged"), (shown.Lines.Single().Name, shown.Lines.Single().Standing));
            Assert.Equal(0, shown.Measures.LastDay);
            Assert.DoesNotContain("test", drive.Loop.Say.Text, StringComparison.Ordinal);
            log.Flush();
            var replayed = new StationState(station);
            LogReplay.Run(log.Reader.Read(0, 10_000), replayed);
            Assert.Equal(AlarmStanding.Unacknowledged, replayed.AlarmOf(AlarmId.WeeklyTest).Standing);
            until = drive.Now;
        }

        using var again = new RigDrive(rig, state, log, until, s_first.AddHours(3).AddMinutes(6));
        again.Loop.Recall(log.Reader);
        again.Go(5);
        Assert.Equal(AlarmStanding.Normal, again.Loop.State.AlarmOf(AlarmId.WeeklyTest).Standing); // the restart ends it; it has come this week
    }

    [Theory]
    [InlineData(1, true)]
    [InlineData(60, false)]
    public void A_station_that_runs_faster_than_life_calls_nobody_for_it(double speed, bool calls)
    {
        using var log = _folder.Open();
        var (station, now) = (DemoStation.Read(), MonotonicTime.FromSeconds(1));
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, now, default, real: StationClock.Faster(speed, s_first.AddHours(3), now));
        drive.Loop.Recall(log.Reader);
        drive.Go(5);
        Assert.Equal(calls, drive.Loop.State.AlarmOf(AlarmId.WeeklyTest).Stands);
    }
}
