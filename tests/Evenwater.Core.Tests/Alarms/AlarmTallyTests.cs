using Evenwater.Core.Alarms;
using Evenwater.CoreTests.Protection;

namespace Evenwater.CoreTests.Alarms;

/// <summary>The figures of the alarms, counted by hand.</summary>
public class AlarmTallyTests
{
    private readonly AlarmTally _tally = new();
    private readonly StationState _state = new(TestStation.Make());

    [Fact]
    public void Calls_of_the_last_day_are_counted_and_older_ones_forgotten()
    {
        Add(AlarmId.Leak, 0, 3600, 86400, 90000);
        Assert.Equal(3, Measure(90000).LastDay); // the first is 25 h old; the second exactly 24
        Assert.Equal(2, Measure(90001).LastDay);
        Assert.Equal(0, Measure(200000).LastDay);
    }

    [Fact]
    public void The_worst_ten_minutes_are_a_sliding_window()
    {
        Add(AlarmId.Leak, 0, 500, 1000, 1050, 1099, 1600, 3000);
        Assert.Equal(4, Measure(3000).WorstTenMinutes); // 500, 1000, 1050, 1099; at 1600 the window from 1000 is closed
    }

    [Theory]
    [InlineData(new double[] { 0, 30, 59 }, true)]
    [InlineData(new double[] { 0, 30, 60 }, false)]
    [InlineData(new double[] { 0, 59 }, false)]
    public void Three_calls_of_one_alarm_in_a_minute_are_chattering(double[] at, bool chatters)
    {
        Add(AlarmId.DripSlow, at);
        Assert.Equal(chatters ? [AlarmId.DripSlow] : [], Measure(100).Chattering);
    }

    [Fact]
    public void Three_alarms_in_a_minute_are_not_one_that_chatters()
    {
        Add(AlarmId.DripSlow, 0);
        Add(AlarmId.Leak, 10);
        Add(AlarmId.Blind, 20);
        Assert.Empty(Measure(30).Chattering);
        Assert.Equal(3, Measure(30).WorstTenMinutes);
    }

    [Fact]
    public void An_alarm_that_has_been_wrong_for_more_than_a_day_is_stale_put_aside_or_not()
    {
        var since = MonotonicTime.FromSeconds(1000);
        _state.Recall(AlarmId.DripSlow, AlarmStanding.Acknowledged, active: true, since, since, since, null);
        _state.Recall(AlarmId.ProbeTrouble, AlarmStanding.OutOfService, active: true, since, since, since, "sent in");
        _state.Recall(AlarmId.Leak, AlarmStanding.LatchedAcknowledged, active: false, since, since, since, null);
        Assert.Empty(Measure(1000 + 86400).Stale);
        Assert.Equal([AlarmId.ProbeTrouble, AlarmId.DripSlow], Measure(1001 + 86400).Stale);
    }

    [Fact]
    public void What_is_too_much_to_keep_is_said()
    {
        Add(AlarmId.Leak, [.. Enumerable.Range(0, AlarmTally.Capacity + 3).Select(i => (double)i)]);
        Assert.Equal((AlarmTally.Capacity, 3L), (Measure(AlarmTally.Capacity + 3).LastDay, Measure(AlarmTally.Capacity + 3).Dropped));

        // The first that was kept is at 3 s; a second more than a day later it is past, and so are the three before it.
        var later = Measure(86_400 + 4);
        Assert.Equal((AlarmTally.Capacity - 1, 0L), (later.LastDay, later.Dropped));
    }

    private AlarmMeasures Measure(double seconds) => _tally.Measure(_state, MonotonicTime.FromSeconds(seconds));

    private void Add(AlarmId alarm, params double[] at)
    {
        foreach (var seconds in at)
        {
            _tally.Add(alarm, MonotonicTime.FromSeconds(seconds));
        }
    }
}
