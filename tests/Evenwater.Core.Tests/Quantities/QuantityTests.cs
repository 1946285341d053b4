using CsCheck;
using Evenwater.Core.Quantities;

namespace Evenwater.CoreTests.Quantities;

public class QuantityTests
{
    public static TheoryData<string, Func<double, double>, double, double, string> Factories => new()
    {
        { "µS/cm", v => Conductivity.FromMicrosiemensPerCm(v).MicrosiemensPerCm, 0, 200_000, "0 to 200000 µS/cm" },
        { "mS/cm", v => Conductivity.FromMillisiemensPerCm(v).MillisiemensPerCm, 0, 200, "0 to 200 mS/cm" },
        { "S/m", v => Conductivity.FromSiemensPerMetre(v).SiemensPerMetre, 0, 20, "0 to 20 S/m" },
        { "°C", v => Temperature.FromCelsius(v).Celsius, -20, 60, "-20 to 60 °C" },
        { "L", v => Volume.FromLitres(v).Litres, 0, 1_000_000, "0 to 1000000 L" },
        { "mL/min", v => FlowRate.FromMillilitresPerMinute(v).MillilitresPerMinute, 0, 20_000, "0 to 20000 mL/min" },
        { "L/h", v => FlowRate.FromLitresPerHour(v).LitresPerHour, 0, 1200, "0 to 1200 L/h" },
    };

    [Theory]
    [MemberData(nameof(Factories), DisableDiscoveryEnumeration = true)]
    public void A_value_inside_its_range_comes_back_and_one_outside_names_the_range(
        string unit, Func<double, double> thereAndBack, double min, double max, string range)
    {
        Gen.Double[min, max].Sample(value => Math.Abs(thereAndBack(value) - value) <= 1e-12 * Math.Max(1, Math.Abs(value)));
        Assert.Equal(min, thereAndBack(min), 9);
        Assert.Equal(max, thereAndBack(max), 6);
        foreach (var bad in new[] { Math.BitDecrement(min), Math.BitIncrement(max), double.NaN, double.PositiveInfinity, double.NegativeInfinity })
        {
            var error = Assert.Throws<ArgumentOutOfRangeException>(() => thereAndBack(bad));
            Assert.Contains(range, error.Message, StringComparison.Ordinal);
            Assert.EndsWith(unit, range, StringComparison.Ordinal);
        }
    }

    /// <summary>"5E-324 to 1000000 L" is a range of the type, and tells a keeper nothing.</summary>
    [Fact]
    public void An_end_that_is_the_type_s_own_is_told_in_words()
    {
        Assert.StartsWith("Allowed: above 0, to 1000000 L.", Assert.Throws<ArgumentOutOfRangeException>(() => Core.Water.SaltMixing.Salinity(0, 35, 1, 35, 25)).Message, StringComparison.Ordinal);
        Assert.StartsWith("Allowed: 0 or more (a sum of sizes).", Assert.Throws<ArgumentOutOfRangeException>(() => Core.Calibration.DriftRating.Of(Core.Calibration.DriftKind.Ph, -1)).Message, StringComparison.Ordinal);
        Assert.StartsWith("Allowed: above 0 mL.", Assert.Throws<ArgumentOutOfRangeException>(() => Core.Calibration.VolumeCalibration.Drop([], 0)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Units_of_one_quantity_agree()
    {
        Assert.Equal(0.0185, Conductivity.FromMicrosiemensPerCm(185).SiemensPerMetre, 12); // 1 µS/cm = 1e-4 S/m
        Assert.Equal(Conductivity.FromMillisiemensPerCm(53), Conductivity.FromSiemensPerMetre(5.3));
        Assert.Equal(0.0016, Volume.FromLitres(1.6).CubicMetres, 12);
        Assert.Equal(0.9, FlowRate.FromMillilitresPerMinute(15).LitresPerHour, 12); // 15 mL/min x 60
        Assert.Equal(2.778e-7, FlowRate.FromLitresPerHour(1).CubicMetresPerSecond, 10); // RFC 8428 units
    }

    [Fact]
    public void Every_quantity_says_its_unit()
    {
        Assert.Equal("185 µS/cm", Conductivity.FromMicrosiemensPerCm(185).ToString());
        Assert.Equal("23.0 °C", Temperature.FromCelsius(23).ToString());
        Assert.Equal("1.6 L", Volume.FromLitres(1.6).ToString());
        Assert.Equal("15.0 mL/min", FlowRate.FromMillilitresPerMinute(15).ToString());
    }
}
