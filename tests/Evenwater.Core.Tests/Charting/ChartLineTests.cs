using Evenwater.Core.Charting;

namespace Evenwater.CoreTests.Charting;

public class ChartLineTests
{
    private static readonly DateTimeOffset Noon = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Ten_minutes_thinned_to_two_stretches_keep_lowest_highest_and_mean()
    {
        // By hand: 1 to 5 and 6 to 10, a reading a minute, but the third minute has three readings (2, 3, 10) of mean 5: sum 1 + 2 + 15 + 4 + 5 = 27 of 7 readings.
        var bins = Enumerable.Range(1, 10).Select(i => (Noon.AddMinutes(i - 1), i == 3 ? new Bin(3, 2, 5, 10, 3) : Bin.Of(i)));
        var line = ChartLine.Of(new(Noon, TimeSpan.FromMinutes(5), 2), Noon.AddMinutes(10), bins);
        Assert.Equal((7L, 1.0, 10.0, 5.0), (line.Bins[0]!.Value.Count, line.Bins[0]!.Value.Min, line.Bins[0]!.Value.Max, line.Bins[0]!.Value.Last));
        Assert.Equal(27.0 / 7, line.Bins[0]!.Value.Mean, 1e-12);
        Assert.Equal((5L, 6.0, 8.0, 10.0), (line.Bins[1]!.Value.Count, line.Bins[1]!.Value.Min, line.Bins[1]!.Value.Mean, line.Bins[1]!.Value.Max));
        Assert.Empty(line.Gaps);
    }

    [Fact]
    public void However_a_spike_falls_thinning_loses_it_never()
    {
        foreach (var at in Enumerable.Range(0, 1000))
        {
            var line = ChartLine.Of(
                new(Noon, TimeSpan.FromMinutes(37), 28), Noon.AddMinutes(1000), Enumerable.Range(0, 1000).Select(i => (Noon.AddMinutes(i), Bin.Of(i == at ? 99 : i == (at + 500) % 1000 ? -99 : 7))));
            Assert.Equal((99.0, -99.0), (line.Bins.Max(bin => bin!.Value.Max), line.Bins.Min(bin => bin!.Value.Min)));
            Assert.Equal(1000, line.Bins.Sum(bin => bin!.Value.Count));
        }
    }

    [Fact]
    public void What_was_not_read_is_a_gap_from_the_last_stretch_before_to_the_first_after()
    {
        // A reading a second for an hour, in stretches of a minute, with minutes 20 to 29 missing.
        var line = ChartLine.Of(
            new(Noon, TimeSpan.FromMinutes(1), 60), Noon.AddHours(1), Enumerable.Range(0, 3600).Where(s => s is < 1200 or >= 1800).Select(s => (Noon.AddSeconds(s), Bin.Of(1))));
        Assert.Equal([new Gap(Noon.AddMinutes(20), Noon.AddMinutes(30))], line.Gaps);
        Assert.All(line.Bins.Take(20).Concat(line.Bins.Skip(30)), bin => Assert.NotNull(bin));
        Assert.All(line.Bins.Skip(20).Take(10), bin => Assert.Null(bin));
    }

    [Fact]
    public void Beginning_and_end_are_gaps_too_and_what_is_still_to_come_is_none()
    {
        var line = ChartLine.Of(
            new(Noon, TimeSpan.FromMinutes(1), 120), Noon.AddMinutes(90), Enumerable.Range(600, 3000).Select(s => (Noon.AddSeconds(s), Bin.Of(1))));
        Assert.Equal([new Gap(Noon, Noon.AddMinutes(10)), new Gap(Noon.AddMinutes(60), Noon.AddMinutes(90))], line.Gaps);
        Assert.Equal([new Gap(Noon, Noon.AddMinutes(90))], ChartLine.Of(line.Axis, Noon.AddMinutes(90), []).Gaps);
        Assert.Empty(ChartLine.Of(line.Axis, Noon, []).Gaps);
    }

    [Theory]
    [InlineData(60)]
    [InlineData(61)]
    [InlineData(1)]
    public void Stretches_shorter_than_the_time_between_two_readings_are_no_gaps(int everySeconds)
    {
        // 0.4 s a stretch: an hour at 9000; and 59 s, where the beat leaves one in sixty empty.
        foreach (var step in new[] { 0.4, 59 })
        {
            var axis = new TimeAxis(Noon, TimeSpan.FromSeconds(step), (int)(7200 / step));
            var line = ChartLine.Of(axis, axis.To, Enumerable.Range(0, 7200 / everySeconds).Select(i => (Noon.AddSeconds(i * everySeconds), Bin.Of(i))));
            Assert.Empty(line.Gaps);
            var missed = ChartLine.Of(axis, axis.To, Enumerable.Range(0, 7200 / everySeconds).Where(i => i * everySeconds is < 1800 or > 2800).Select(i => (Noon.AddSeconds(i * everySeconds), Bin.Of(i))));
            var gap = Assert.Single(missed.Gaps);
            Assert.InRange(gap.Length.TotalSeconds, 1000 - everySeconds - step, 1000 + (2 * everySeconds));
        }
    }
}
