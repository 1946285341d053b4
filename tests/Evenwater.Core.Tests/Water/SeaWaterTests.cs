using CsCheck;
using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Water;

public class SeaWaterTests
{
    [Fact]
    public void Conductivity_and_salinity_are_the_inverse_of_each_other()
        => Gen.Select(Gen.Double[0.01, 42], Gen.Double[-2, 35]).Sample((salinity, celsius) =>
            Math.Abs(PracticalSalinity.Of(PracticalSalinity.MillisiemensPerCm(salinity, celsius), celsius) - salinity) < 1e-6, iter: 300);

    [Fact]
    public void There_is_no_step_where_the_extension_begins_and_none_at_fresh_water()
    {
        for (var celsius = -2.0; celsius <= 35; celsius += 3.7)
        {
            var two = PracticalSalinity.MillisiemensPerCm(2, celsius);
            Assert.InRange(PracticalSalinity.Of(two + 1e-8, celsius) - PracticalSalinity.Of(two - 1e-8, celsius), 1e-9, 1e-7); // unscaled, Hill's steps by 3e-5
            Assert.Equal(0, PracticalSalinity.Of(0, celsius), 6);
        }
    }

    [Theory] // gsw holds what its extension takes below nought (gsw_SP_from_C: "ensure that SP is non-negative"; from memory); demineralised water has 0.5 to 2 µS/cm
    [InlineData(0.0005)]
    [InlineData(0.001)]
    public void Nearly_pure_water_has_no_salinity_below_nought_and_a_density(double millisiemensPerCm)
    {
        Assert.Equal(0, PracticalSalinity.Of(millisiemensPerCm, 25));
        Assert.Equal(997.05, SeaDensity.KilogramsPerCubicMetre(PracticalSalinity.Of(millisiemensPerCm, 25), 25), 0.01);
    }

    [Fact]
    public void More_salt_always_conducts_more_and_weighs_more()
        => Gen.Select(Gen.Double[0, 41], Gen.Double[0.01, 1], Gen.Double[-2, 35]).Sample((salinity, more, celsius) =>
            PracticalSalinity.MillisiemensPerCm(salinity + more, celsius) > PracticalSalinity.MillisiemensPerCm(salinity, celsius)
            && SeaDensity.KilogramsPerCubicMetre(salinity + more, celsius) > SeaDensity.KilogramsPerCubicMetre(salinity, celsius), iter: 300);

    [Theory] // gsw 3.6.16 at 25 °C, half and half by mass: how far a straight line of conductivity lies below the true mix, percent, and the salinity it hides
    [InlineData(30, 35, 0.04, 0.015)]
    [InlineData(25, 35, 0.18, 0.061)]
    [InlineData(2, 35, 5.2, 0.99)]
    [InlineData(0, 35, 7.1, 1.27)]
    public void Conductivity_does_not_mix_along_a_straight_line(double one, double other, double percent, double salinity)
    {
        double Litres(double practical) => 1000 / SeaDensity.KilogramsPerCubicMetre(practical, 25);
        var mixed = SaltMixing.Salinity(Litres(one), one, Litres(other), other, 25);
        var line = (PracticalSalinity.MillisiemensPerCm(one, 25) + PracticalSalinity.MillisiemensPerCm(other, 25)) / 2;
        Assert.Equal(percent, 100 * ((PracticalSalinity.MillisiemensPerCm(mixed, 25) / line) - 1), percent < 1 ? 0.006 : 0.1);
        Assert.Equal(salinity, mixed - PracticalSalinity.Of(line, 25), salinity < 0.1 ? 0.002 : 0.02);
    }

    [Fact] // the volume after the numbers of gsw 3.6.16: 0.015 % less
    public void Salt_is_conserved_in_mass_and_a_little_volume_is_lost()
        => Gen.Select(Gen.Double[0.1, 500], Gen.Double[0, 42], Gen.Double[0.1, 500], Gen.Double[0, 42]).Sample((a, s, b, r) =>
        {
            var (salinity, litres) = (SaltMixing.Salinity(a, s, b, r, 20), SaltMixing.Litres(a, s, b, r, 20));
            double Salt(double volume, double practical) => volume * practical * SeaDensity.KilogramsPerCubicMetre(practical, 20);
            return Math.Abs(Salt(litres, salinity) - Salt(a, s) - Salt(b, r)) <= 1e-9 * Salt(litres, salinity) + 1e-9 && litres <= (a + b) * (1 + 1e-12) && litres > 0.9997 * (a + b);
        });
}
