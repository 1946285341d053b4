using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

public class PcgTests
{
    /// <summary>The demonstration that comes with the reference implementation, pcg32 with seed 42 and stream 54 (from memory).</summary>
    [Fact]
    public void Gives_the_reference_implementations_first_numbers()
    {
        var random = new Pcg(42, 54);
        foreach (var expected in new[] { 0xa15c02b7u, 0x7b47f409u, 0xba1d3330u, 0x83d2f293u, 0xbfa4784bu, 0xcbed606eu })
        {
            Assert.Equal(expected, random.NextUInt());
        }
    }

    [Fact]
    public void Normal_numbers_have_mean_0_and_deviation_1_and_normal_tails()
    {
        var random = new Pcg(1);
        const int n = 200_000;
        double sum = 0, squares = 0;
        var beyondTwo = 0;
        for (var i = 0; i < n; i++)
        {
            var x = random.NextNormal();
            sum += x;
            squares += x * x;
            beyondTwo += Math.Abs(x) > 1.959964 ? 1 : 0;
        }

        Assert.InRange(sum / n, -0.01, 0.01); // 4.5 standard errors
        Assert.InRange(squares / n, 0.985, 1.015);
        Assert.InRange(beyondTwo / (double)n, 0.048, 0.052);
    }
}
