using Evenwater.Page;

namespace Evenwater.Tests.Page;

public sealed class SharedMarksTests
{
    [Theory]
    [InlineData(new double[0], "")]
    [InlineData(new[] { 10.0 }, "10:1")]
    [InlineData(new[] { 10.0, 36, 62 }, "10:1 36:2 62:3")]
    [InlineData(new[] { 10.0, 10, 10 }, "10:1–3")]
    [InlineData(new[] { 10.0, 20, 35.9, 36, 100 }, "10:1–3 36:4 100:5")]
    public void Numbers_that_lie_too_close_to_be_read_share_a_mark(double[] places, string expected) =>
        Assert.Equal(expected, string.Join(' ', SharedMarks.Of(places, 0, 200).Select(m => $"{m.X}:{m.Words}")));

    [Fact]
    public void Numbers_may_begin_where_the_list_s_first_ones_lie_outside_the_picture() =>
        Assert.Equal("10:4–6 50:7", string.Join(' ', SharedMarks.Of([10, 20, 30, 50], 0, 200, 4).Select(m => $"{m.X}:{m.Words}")));

    [Theory] // from 44 to 352 px is the narrow drawing, to 752 the wide one
    [InlineData(9, 352)]
    [InlineData(60, 352)]
    [InlineData(60, 752)]
    public void Numbers_never_touch_wherever_they_stand(int count, double right)
    {
        for (var seed = 1; seed <= 200; seed++)
        {
            var random = new Random(seed);
            double[] places = [.. Enumerable.Range(0, count).Select(_ => 44 + (random.NextDouble() * (right - 44))).Order()];
            var told = SharedMarks.Of(places, 44, right).Select(m => (X: SharedMarks.Middle(m.X, m.Words, 44, right), Half: 3.4 * m.Words.Length)).ToList();
            Assert.All(told.Zip(told.Skip(1)), pair => Assert.True(pair.Second.X - pair.First.X > pair.First.Half + pair.Second.Half, $"seed {seed}: {pair}"));
        }
    }

    [Theory] // 6.8 px a digit
    [InlineData(200, "1–34", 200)]
    [InlineData(350, "1–34", 338.4)]
    [InlineData(350, "7", 348.6)]
    [InlineData(44, "12", 50.8)]
    public void Words_at_the_ends_of_a_drawing_are_not_cut_off(double x, string words, double middle) => Assert.Equal(middle, SharedMarks.Middle(x, words, 44, 352), 0.001);
}
