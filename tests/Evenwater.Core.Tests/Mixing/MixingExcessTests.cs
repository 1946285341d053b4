using CsCheck;
using Evenwater.Core.Mixing;

namespace Evenwater.CoreTests.Mixing;

public class MixingExcessTests
{
    private static readonly double[] Shares = [0.1, 0.25, 0.5, 0.75, 0.9];

    /// <summary>
    /// Excess of a blend's conductivity over the straight line, percent of the line, by share of the second water; µS/cm at 25 °C. The first six
    /// calculated with PHREEQC 3 (phreeqc.dat, sealed mixing), the last four with PSS-78 by mass (mS/cm shown as µS/cm).
    /// </summary>
    public static TheoryData<string, double, double, double[]> Blends => new()
    {
        { "NaCl + NaCl", 200, 800, [0.43, 0.63, 0.54, 0.30, 0.12] },
        { "hard + hard", 200, 800, [1.76, 2.52, 2.07, 1.07, 0.43] },
        { "Ca(HCO3)2 + Ca(HCO3)2", 200, 800, [2.68, 3.46, 2.62, 1.30, 0.51] },
        { "NaCl + Ca(HCO3)2", 200, 800, [5.66, 6.11, 4.12, 1.93, 0.74] },
        { "pure + hard", 0, 700, [12.45, 8.54, 4.67, 2.03, 0.76] },
        { "NaCl + NaCl", 200, 3000, [3.01, 2.98, 1.95, 0.92, 0.36] },
        { "salinity 0 + 35", 0, 53_071, [21.02, 13.45, 7.11, 3.08, 1.15] },
        { "salinity 2 + 35", 3_797, 53_071, [8.43, 8.07, 5.15, 2.40, 0.93] },
        { "salinity 25 + 35", 39_267, 53_071, [0.08, 0.15, 0.18, 0.13, 0.06] },
        { "salinity 30 + 35", 46_253, 53_071, [0.02, 0.03, 0.04, 0.03, 0.01] },
    };

    [Theory]
    [MemberData(nameof(Blends), DisableDiscoveryEnumeration = true)]
    public void The_straight_line_is_never_above_the_blend_and_the_bound_never_below_it(string waters, double weaker, double stronger, double[] excessPercent)
    {
        for (var i = 0; i < Shares.Length; i++)
        {
            var line = weaker + (Shares[i] * (stronger - weaker));
            var blend = line * (1 + (excessPercent[i] / 100));
            Assert.True(line <= blend, waters);
            Assert.True(MixingExcess.Highest(line, weaker, stronger) >= blend, $"{waters} at {Shares[i]}: {blend:0.0} passes {MixingExcess.Highest(line, weaker, stronger):0.0}");
        }
    }

    [Theory]
    [MemberData(nameof(Blends), DisableDiscoveryEnumeration = true)]
    public void The_share_read_off_the_line_is_wrong_by_at_most_0_036(string waters, double weaker, double stronger, double[] excessPercent)
    {
        for (var i = 0; i < Shares.Length; i++)
        {
            var blend = (weaker + (Shares[i] * (stronger - weaker))) * (1 + (excessPercent[i] / 100));
            var bias = ((blend - weaker) / (stronger - weaker)) - Shares[i];
            Assert.True(bias is >= 0 and <= 0.036, $"{waters}: {bias}");
        }
    }

    [Fact]
    public void The_bound_vanishes_at_both_ends_and_is_never_negative()
    {
        Assert.Equal(0, MixingExcess.UpperFraction(0));
        Assert.Equal(0, MixingExcess.UpperFraction(1));
        Gen.Double[-1, 2].Sample(share => MixingExcess.UpperFraction(share) is >= 0 and <= 0.0443);
    }

    [Fact]
    public void Which_water_is_named_first_does_not_matter_and_equal_waters_have_no_excess()
    {
        Gen.Select(Gen.Double[0, 2000], Gen.Double[0, 2000], Gen.Double[0, 1]).Sample((a, b, share) =>
            MixingExcess.Highest(a + (share * (b - a)), a, b) == MixingExcess.Highest(a + (share * (b - a)), b, a));
        Assert.Equal(300, MixingExcess.Highest(300, 300, 300));
    }

    [Theory] // by hand: a quarter of the stronger water, 0.115 x 0.5 x 0.75 of the 400 µS/cm between them
    [InlineData(100, 500)]
    [InlineData(500, 100)]
    public void The_bound_is_a_share_of_what_lies_between_the_two_waters(double one, double other) => Assert.Equal(217.25, MixingExcess.Highest(200, one, other), 9);
}
