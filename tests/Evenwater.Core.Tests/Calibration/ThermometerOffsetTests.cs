using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>What a thermometer is off by, worked by hand.</summary>
public class ThermometerOffsetTests
{
    [Fact] // 0.3125 in ice; sqrt(0.018² + 0.02²) = 0.0269, 0.018 being 1/16 / sqrt 12
    public void In_ice_it_is_what_it_reads()
    {
        var found = ThermometerOffset.InIce(0.3125, 0.018).Found!;
        Assert.Equal(0.3125, found.Celsius, 12);
        Assert.Equal(0.02691, found.Sd, 0.00001);
    }

    [Fact] // 23.9375 beside 24.30 ± 0.05: 0.3625 too low; sqrt(0.02² + 0.05²) = 0.05385
    public void Beside_a_reference_it_is_the_difference()
    {
        var found = ThermometerOffset.Beside(23.9375, 0.02, 24.3, 0.05).Found!;
        Assert.Equal(-0.3625, found.Celsius, 12);
        Assert.Equal(0.05385, found.Sd, 0.00001);
    }

    [Theory] // twice the data sheet's ±0.5 °C is the last that is taken
    [InlineData(1, true)]
    [InlineData(-1, true)]
    [InlineData(1.0625, false)]
    [InlineData(-1.0625, false)]
    [InlineData(double.NaN, false)]
    public void More_than_a_degree_is_no_offset(double celsius, bool taken)
    {
        var outcome = ThermometerOffset.InIce(celsius, 0.018);
        Assert.Equal(taken, outcome.IsFound);
        if (taken) return;
        Assert.Equal(("offsetCelsius", "-1 to 1 °C"), (outcome.Refusal!.Value.Key, outcome.Refusal.Value.Allowed));
        Assert.Contains("More ice than water", outcome.Refusal.Value.Advice, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(24, 0.3, "offsetSd")]
    [InlineData(24, double.PositiveInfinity, "offsetSd")]
    [InlineData(61, 0.05, "referenceCelsius")]
    [InlineData(double.NaN, 0.05, "referenceCelsius")]
    public void A_poor_reference_is_refused_by_key(double reference, double referenceSd, string key)
        => Assert.Equal(key, ThermometerOffset.Beside(24, 0.02, reference, referenceSd).Refusal!.Value.Key);
}
