using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Standing;

public class SpreadTests
{
    // The usual textbook example of a median absolute deviation: median 2, distances 1 1 0 0 2 4 7, their median 1.
    [Fact]
    public void One_wild_value_moves_neither_the_middle_nor_the_width()
    {
        double[] values = [1, 1, 2, 2, 4, 6, 9];
        Assert.Equal(2, Spread.Median(values));
        Assert.Equal(1, Spread.MedianDeviation(values));
        Assert.Equal(2, Spread.Median([1, 1, 2, 2, 4, 6, 9e6]));
        Assert.Equal(1, Spread.MedianDeviation([1, 1, 2, 2, 4, 6, 9e6]));
    }

    // R's own quantile(1:10), its default being definition 7: 25 % 3.25, 50 % 5.5, 75 % 7.75, 90 % 9.1; and mad(1:9) = 2.9652.
    [Fact]
    public void Quantiles_are_those_of_R()
    {
        var ten = Enumerable.Range(1, 10).Select(i => (double)i).Reverse().ToArray();
        Assert.Equal([1, 3.25, 5.5, 7.75, 9.1, 10], new[] { 0, 0.25, 0.5, 0.75, 0.9, 1 }.Select(share => Math.Round(Spread.Quantile(ten, share), 12)));
        Assert.Equal(2.9652, Spread.NormalFactor * Spread.MedianDeviation(Enumerable.Range(1, 9).Select(i => (double)i)), 1e-12);
    }

    [Fact]
    public void Nothing_and_no_number_have_no_middle()
    {
        Assert.Throws<ArgumentException>(() => Spread.Median([]));
        Assert.Throws<ArgumentException>(() => Spread.Median([1, double.NaN]));
        Assert.Throws<ArgumentOutOfRangeException>(() => Spread.Quantile([1], 1.01));
    }
}
