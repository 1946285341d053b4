using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>Scale, level sensor and drops by known volumes, worked by hand.</summary>
public class KnownVolumeTests
{
    [Fact] // water of 25 °C has 0.997045 kg/L (Kell 1975): 5 L are 4.985225 kg, on which a scale of 20 000 counts/kg and a zero of 84 000 reads 183 704.5
    public void Two_volumes_tell_a_scales_zero_and_slope_and_how_well()
    {
        var found = VolumeCalibration.Scale([new(0, 84_000), new(5, 183_704.5)], 0.01, 25).Found!;
        Assert.Equal(84_000, found.ZeroCounts, 1e-6);
        Assert.Equal(20_000, found.CountsPerKilogram, 0.1);
        Assert.Equal(0.00997, found.ZeroSdKilograms, 0.00001); // the empty vessel's own 0.01 L
        Assert.Equal(0.002828, found.CountsPerKilogramRelativeSd, 0.000002); // sqrt 2 x 0.01 / 5
    }

    [Fact]
    public void A_bridge_wired_the_other_way_round_has_a_negative_slope_and_positive_spreads()
    {
        var found = VolumeCalibration.Scale([new(0, 84_000), new(5, 84_000 - 99_704.5)], 0.01, 25).Found!;
        Assert.Equal(-20_000, found.CountsPerKilogram, 0.1);
        Assert.True(found is { ZeroSdKilograms: > 0, CountsPerKilogramRelativeSd: > 0 });
    }

    [Fact] // 0, 5, 10 L on 0.05 m² are 0, 100, 200 mm; 0.40, 0.72, 1.04 V: 312.5 mm/V. With 1 mm up, 2 down, 1 up in volts (0.0032): slope unmoved, residual sd sqrt(6) mm = 2.449
    public void Three_points_show_their_own_scatter_in_the_spreads()
    {
        var found = VolumeCalibration.Level([new(0, 0.4032), new(5, 0.7136), new(10, 1.0432)], 0.01, 0.05).Found!;
        Assert.Equal(312.5, found.MillimetresPerVolt, 1e-6);
        Assert.Equal(0.4, found.ZeroVolts, 1e-9);
        Assert.Equal(2.449 / 141.421, found.MillimetresPerVoltRelativeSd, 0.00001); // Sxx = 20 000 mm²
        Assert.Equal(2.449 * Math.Sqrt((1 / 3.0) + (10_000 / 20_000.0)), found.ZeroSdMillimetres, 0.001);
    }

    [Fact] // 10 L on 0.05 m² are 200 mm, and the 0.01 L that one volume is known to are 0.2 mm
    public void Two_volumes_tell_how_well_a_level_sensor_is_known_by_the_volumes_own_doubt()
    {
        var found = VolumeCalibration.Level([new(0, 0.4), new(10, 1.04)], 0.01, 0.05).Found!;
        Assert.Equal(0.2, found.ZeroSdMillimetres, 1e-9);
        Assert.Equal(Math.Sqrt(2) * 0.2 / 200, found.MillimetresPerVoltRelativeSd, 1e-9);
    }

    [Fact] // the middle of 0, 5, 10 L is half a litre off: the line goes 0.1667 L from the ends, 0.3333 from the middle, and 3 % of 10 L are 0.3
    public void A_point_off_the_line_is_refused_and_named()
    {
        var refusal = VolumeCalibration.Level([new(0, 0.4), new(5, 0.72 + 0.032), new(10, 1.04)], 0.01, 0.05).Refusal!.Value;
        Assert.Equal(("level.points[1]", "off the line by 6.666667 mm", "-6 to 6 mm"), (refusal.Key, refusal.Value, refusal.Allowed));
        Assert.True(VolumeCalibration.Level([new(0, 0.4), new(5, 0.72 + 0.028), new(10, 1.04)], 0.01, 0.05).IsFound);
    }

    [Fact]
    public void What_is_no_line_is_refused_by_key()
    {
        Assert.Equal("loadCell.points", Scale(new KnownPoint(0, 84_000)));
        Assert.Equal("loadCell.points", Scale());
        Assert.Equal("loadCell.points", Scale(new(0, 84_000), new(0.19, 87_000))); // less than twenty times the 0.01 L
        Assert.Equal("loadCell.points", Scale(new(2, 124_000), new(2.19, 127_800))); // nor without an empty vessel
        Assert.Equal("loadCell.points", Scale(new(0, 84_000), new(5, 84_000)));
        Assert.Equal("loadCell.points[1]", Scale(new(0, 84_000), new(double.NaN, 99_000)));
        Assert.Equal("loadCell.points[0]", Scale(new(0, double.NaN), new(5, 99_000)));
        Assert.Equal("loadCell.points[1]", Scale(new(0, 84_000), new(-5, 99_000)));
        Assert.Equal("loadCell.countsPerKilogram", Scale(new(0, 84_000), new(5, 84_400))); // 80 counts/kg
        Assert.Equal("level.millimetresPerVolt", VolumeCalibration.Level([new(0, 1.04), new(10, 0.4)], 0.01, 0.05).Refusal!.Value.Key); // falls with the water
    }

    [Fact] // 200 drops in 10 mL, 410 in 20: (200 x 10 + 410 x 20) / (200² + 410²) = 10200 / 208100 = 0.0490149; residuals 0.19702 and -0.09611: sd 0.21922, over sqrt(208100) = 456.18, over the drop: 0.9804 %
    public void Counted_drops_tell_a_drops_volume_and_how_well()
    {
        var found = VolumeCalibration.Drop([new(10, 200), new(20, 410)], 0.1).Found!;
        Assert.Equal(0.0490149, found.Millilitres, 1e-7);
        Assert.Equal(0.009804, found.RelativeSd, 0.000002);
        Assert.Equal(0.01, VolumeCalibration.Drop([new(10, 200)], 0.1).Found!.RelativeSd, 1e-9); // one count: the cylinder's 0.1 of 10 mL
    }

    [Theory]
    [InlineData(10, 19, 10, 200, "dropCounter.points[0]")]
    [InlineData(10, 200, 0, 200, "dropCounter.points[1]")]
    [InlineData(10, 200, 12.5, 200, "dropCounter.points")] // 11 % either way
    [InlineData(10, 49, 10, 49, "dropCounter.dropsPerMillilitre")]
    [InlineData(10, 1001, 10, 1001, "dropCounter.dropsPerMillilitre")]
    public void Counts_that_can_not_be_are_refused_by_key(double millilitres, double drops, double otherMillilitres, double otherDrops, string key)
        => Assert.Equal(key, VolumeCalibration.Drop([new(millilitres, drops), new(otherMillilitres, otherDrops)], 0.1).Refusal!.Value.Key);

    [Fact]
    public void No_count_is_no_drop() => Assert.Equal("dropCounter.points", VolumeCalibration.Drop([], 0.1).Refusal!.Value.Key);

    private static string Scale(params KnownPoint[] points) => VolumeCalibration.Scale(points, 0.01, 25).Refusal!.Value.Key;
}
