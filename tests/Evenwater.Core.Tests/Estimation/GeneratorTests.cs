using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

public sealed class GeneratorTests
{
    [Fact]
    public void The_same_seed_gives_the_same_bits_and_another_seed_others()
    {
        var a = new Generator(7);
        var b = new Generator(7);
        var c = new Generator(8);
        for (var i = 0; i < 1000; i++)
        {
            var bits = a.NextBits();
            Assert.Equal(bits, b.NextBits());
            Assert.NotEqual(bits, c.NextBits());
        }
    }

    [Fact]
    public void Seeding_agrees_with_the_published_SplitMix64_sequence()
    {
        // First xoshiro256** output is rotl(s1 * 5, 7) * 9 with s1 the second SplitMix64 output of seed 0, 0x6E789E6AA1B965F4.
        var expected = unchecked(System.Numerics.BitOperations.RotateLeft(unchecked(0x6E789E6AA1B965F4UL * 5), 7) * 9);
        Assert.Equal(expected, new Generator(0).NextBits());
    }

    [Fact]
    public void A_table_of_draws_covers_every_axis_evenly()
    {
        var table = new DrawTable(3);
        foreach (var column in new[] { 0, DrawTable.Brim, DrawTable.Standpipe })
        {
            var values = table.Column(column).ToArray();
            Assert.InRange(values.Average(), -1e-6, 1e-6);
            Assert.InRange(values.Average(v => v * v), 0.97, 1.001);
            Assert.Equal(DrawTable.Paths, values.Distinct().Count());
        }
    }

    [Fact]
    public void The_walk_spreads_with_the_square_root_of_time()
    {
        var table = new DrawTable(3);
        foreach (var seconds in new[] { 600.0, 3600, 36_000, 172_800 })
        {
            var (node, part) = DrawTable.Place(seconds);
            var place = new GridStep(0, (float)seconds, (float)seconds, (float)seconds / 3600, 1, 0, 0, node, (float)part);
            var variance = Enumerable.Range(0, DrawTable.Paths).Average(path => Math.Pow(table.WalkAt(place, path / 8 * 8)[path % 8], 2));
            Assert.InRange(variance / (seconds / 3600), 0.7, 1.3);
        }
    }
}
