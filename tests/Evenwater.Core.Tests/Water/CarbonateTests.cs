using CsCheck;
using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Water;

public class CarbonateTests
{
    [Fact]
    public void Carbon_and_pH_are_the_inverse_of_each_other()
        => Gen.Select(Gen.Double[6, 9], Gen.Double[0.1, 15], Gen.Double[1, 40]).Sample((ph, alkalinity, celsius) =>
            Math.Abs(Carbonate.Ph(alkalinity, Carbonate.CarbonMillimoles(ph, alkalinity, celsius), celsius) - ph) < 1e-6);

    [Fact]
    public void A_mix_lies_between_its_waters_when_their_alkalinity_is_the_same()
        => Gen.Select(Gen.Double[6, 8.5], Gen.Double[6, 8.5], Gen.Double[0.2, 10], Gen.Double[0, 1]).Sample((one, other, alkalinity, share) =>
        {
            var mixed = MixedPh.Of(one, alkalinity, other, alkalinity, share, 25);
            return mixed >= Math.Min(one, other) - 1e-6 && mixed <= Math.Max(one, other) + 1e-6;
        });

    [Fact]
    public void Doubtful_waters_give_a_range_that_holds_what_they_might_be()
        => Gen.Select(Gen.Double[-1, 1], Gen.Double[-1, 1], Gen.Double[-1, 1], Gen.Double[-1, 1]).Sample((a, b, c, d) =>
        {
            var range = MixedPh.Between(new(6.5, 0.2, 2, 0.3), new(8.2, 0.1, 2.8, 0.3), 0.5, 25);
            var at = MixedPh.Of(6.5 + (0.2 * a), 2 + (0.3 * b), 8.2 + (0.1 * c), 2.8 + (0.3 * d), 0.5, 25);
            return at >= range.Low - 1e-9 && at <= range.High + 1e-9 && range.Low < range.Middle && range.Middle < range.High;
        });

    [Fact] // PHREEQC 3: pH 6.5, 2 meq/L, 25 °C opened to air goes to 8.457, and 3 mg/L of ammonia from 0.005 to 0.42 mg/L un-ionised, 78 times as much
    public void An_opened_bag_turns_its_ammonia_poisonous()
    {
        var (closed, opened) = (3 * UnionisedAmmonia.Fraction(6.5, 25), 3 * UnionisedAmmonia.Fraction(Carbonate.OpenPh(2, 25), 25));
        Assert.Equal(0.005, closed, 0.0005);
        Assert.Equal(0.42, opened, 0.005);
        Assert.Equal(78, opened / closed, 0.5);
    }

    [Fact] // by hand: the vapour's slope at 25 °C, 0.189 kPa/K, x 0.0616 m² x 89 W/(m² kPa)
    public void Evaporation_adds_a_watt_for_each_kelvin_to_a_bucket()
        => Assert.Equal(1.04, Evaporation.Watts(0.0616, 25.5, 22, 0.5, 0) - Evaporation.Watts(0.0616, 24.5, 22, 0.5, 0), 0.01);

    [Fact]
    public void More_carbon_dioxide_in_the_air_never_raises_pH()
        => Gen.Select(Gen.Double[0, 20], Gen.Double[1, 40], Gen.Double[100, 5000]).Sample((alkalinity, celsius, air) =>
            Carbonate.OpenPh(alkalinity, celsius, 2 * air) < Carbonate.OpenPh(alkalinity, celsius, air));
}
