using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

public class PcgTests
{
    /// <summary>
    /// The first numbers of the reference implementation's demonstration, pcg32 seeded with 42 and stream 54; here the increment is
    /// fixed, so the check repeats that generator's step with our increment in arithmetic of unlimited width.
    /// </summary>
    [Fact]
    public void Steps_as_the_published_generator_does()
    {
        var random = new Pcg(42);
        var state = new System.Numerics.BigInteger(42) + 1442695040888963407UL;
        var mask = ulong.MaxValue;
        state = ((state * 6364136223846793005UL) + 1442695040888963407UL) & mask;
        for (var i = 0; i < 100; i++)
        {
            var old = state;
            state = ((state * 6364136223846793005UL) + 1442695040888963407UL) & mask;
            var shifted = (uint)((((old >> 18) ^ old) >> 27) & uint.MaxValue);
            var turn = (int)(old >> 59);
            var expected = (shifted >> turn) | (uint)(((ulong)shifted << (32 - turn)) & uint.MaxValue);
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
