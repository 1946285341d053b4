using CsCheck;
using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Water;

public class NaturalWaterTests
{
    /// <summary>ISO 7888 factor f25, 0 to 35 °C in whole degrees, as reprinted in laboratory meter manuals.</summary>
    private static readonly double[] F25 =
    [
        1.918, 1.857, 1.800, 1.745, 1.693, 1.643, 1.596, 1.551, 1.508, 1.467,
        1.428, 1.390, 1.354, 1.320, 1.287, 1.256, 1.225, 1.196, 1.168, 1.141,
        1.116, 1.091, 1.067, 1.044, 1.021, 1.000, 0.979, 0.959, 0.940, 0.921,
        0.903, 0.886, 0.869, 0.853, 0.837, 0.822,
    ];

    [Fact]
    public void Every_whole_degree_of_the_ISO_7888_table_is_met_within_its_rounding()
    {
        for (var celsius = 0; celsius < F25.Length; celsius++)
            Assert.True(Math.Abs(NaturalWater.FactorTo25(celsius) - F25[celsius]) <= 0.0005,
                $"{celsius} °C: {NaturalWater.FactorTo25(celsius):0.00000}, table {F25[celsius]}");
    }

    [Theory] // ISO 7888, tenths printed beside the table
    [InlineData(20.1, 1.113)]
    [InlineData(20.2, 1.111)]
    [InlineData(20.3, 1.108)]
    public void Tenths_of_a_degree_are_met_within_rounding(double celsius, double factor)
        => Assert.InRange(NaturalWater.FactorTo25(celsius), factor - 0.0005, factor + 0.0005);

    [Fact]
    public void At_25_degrees_nothing_is_changed() => Assert.Equal(1, NaturalWater.FactorTo25(25), 12);

    [Fact]
    public void There_and_back_is_the_same_water()
        => Gen.Select(Gen.Double[0, 100_000], Gen.Double[-10, 70]).Sample((kappa, celsius) =>
            Math.Abs(NaturalWater.From25(NaturalWater.To25(kappa, celsius), celsius) - kappa) <= 1e-9 * Math.Max(1, kappa));

    [Fact]
    public void Warmer_water_never_has_the_larger_factor()
        => Gen.Select(Gen.Double[-30, 90], Gen.Double[0, 20]).Sample((celsius, warmer) =>
            NaturalWater.FactorTo25(celsius + warmer) <= NaturalWater.FactorTo25(celsius));

    [Theory]
    [InlineData(-40)]
    [InlineData(-86.39123)] // the pole of the viscosity form
    [InlineData(500)]
    public void Far_outside_the_table_the_factor_is_held_finite_and_marked(double celsius)
    {
        Assert.InRange(NaturalWater.FactorTo25(celsius), 0.5, 2.4);
        Assert.False(NaturalWater.IsInRange(celsius));
    }

    [Theory]
    [InlineData(-0.1, false)]
    [InlineData(0, true)]
    [InlineData(35.9, true)]
    [InlineData(36, false)]
    [InlineData(double.NaN, false)]
    public void The_range_is_that_of_the_table(double celsius, bool inside) => Assert.Equal(inside, NaturalWater.IsInRange(celsius));

    [Fact]
    public void Potassium_chloride_is_not_natural_water()
    {
        // NIST/IUPAC 0.01 mol/kg: 1273.03 at 20 °C, 1408.23 at 25 °C, ratio 1.1062; natural water 1.116.
        Assert.True(NaturalWater.FactorTo25(20) - (1408.23 / 1273.03) > 0.009);
    }
}
