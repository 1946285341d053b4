using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>How long the program was away: told only by a clock that can know.</summary>
public sealed class CutTests
{
    private static readonly DateTimeOffset Last = new(2026, 3, 14, 2, 0, 0, TimeSpan.Zero);

    [Theory]
    [InlineData(10_800, null, 10_800.0)]
    [InlineData(10_800, 40.0, 10_800.0)] // a clock that went on through the cut: it says that the computer came up long after the last word
    [InlineData(30, 90_000.0, 30.0)] // only the program was started again
    [InlineData(0, null, 1.0)]
    [InlineData(-1, null, 1.0)] // set back a little
    [InlineData(-6, null, null)] // behind
    [InlineData(25, 40.0, null)] // up for 40 s, yet the last word was 25 s ago: it came up with the time that it went down with (systemd-timesyncd.service(8))
    [InlineData(65, 40.0, null)] // shut down in order: the time was written down 25 s after this program had stopped
    [InlineData(131, 40.0, 131.0)] // longer than any service takes to stop: the clock went on
    public void Its_length_is_told_only_where_the_clock_can_know_it(double clockSaysSeconds, double? upSeconds, double? expected) =>
        Assert.Equal(expected, Cut.Seconds(Last, Last.AddSeconds(clockSaysSeconds), upSeconds));

    /// <summary>Three hours of power cut, of which half a minute seemed to have passed: known once a time server has set the clock, if it had set the log's as well.</summary>
    [Theory]
    [InlineData(true, true, 10_770.0)]
    [InlineData(true, false, null)]
    [InlineData(false, true, null)]
    public void How_much_longer_it_was_is_told_once_the_clock_is_set(bool thenSet, bool nowSet, double? expected)
    {
        var (then, now) = (thenSet ? ClockQuality.Synced : ClockQuality.Restored, nowSet ? ClockQuality.Synced : ClockQuality.Restored);
        Assert.Equal(expected, Cut.Longer((Last, then), (Last.AddSeconds(10_800), now), 30));
        Assert.Null(Cut.Longer((null, then), (Last, now), 30));
        Assert.Null(Cut.Longer((Last, then), (null, now), 30));
    }

    [Fact]
    public void Where_the_log_has_no_time_it_can_not_be_told() => Assert.Null(Cut.Seconds(null, Last, null));
}
