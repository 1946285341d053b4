using Evenwater.Core.Scoring;

namespace Evenwater.CoreTests.Scoring;

public sealed class WilsonTests
{
    /// <summary>Worked examples of Newcombe 1998, "Two-sided confidence intervals for the single proportion", score method (from memory).</summary>
    [Theory]
    [InlineData(81, 263, 0.2553, 0.3662)]
    [InlineData(15, 148, 0.0624, 0.1605)]
    [InlineData(0, 20, 0.0000, 0.1611)]
    [InlineData(1, 29, 0.0061, 0.1718)]
    public void The_interval_agrees_with_published_examples(int hits, int of, double low, double high)
    {
        var interval = Wilson.Interval(hits, of);
        Assert.Equal(low, interval.Low, 4);
        Assert.Equal(high, interval.High, 4);
    }

    [Fact]
    public void Of_no_case_nothing_can_be_said() => Assert.Equal((0, 1), Wilson.Interval(0, 0));

    [Fact]
    public void Misses_and_hits_mirror_each_other()
    {
        for (var hits = 0; hits <= 40; hits++)
        {
            var (a, b) = (Wilson.Interval(hits, 40), Wilson.Interval(40 - hits, 40));
            Assert.Equal(a.Low, 1 - b.High, 12);
            Assert.True(a.Low >= 0 && a.High <= 1 && a.Low <= hits / 40.0 && hits / 40.0 <= a.High);
        }
    }

    [Theory]
    [InlineData(-1, 5)]
    [InlineData(6, 5)]
    public void More_hits_than_cases_are_refused(int hits, int of) => Assert.Throws<ArgumentOutOfRangeException>(() => Wilson.Interval(hits, of));
}
