using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Water;

public class PotassiumChlorideTests
{
    private static readonly double[] Printed = [0, 5, 10, 15, 20, 25, 30, 35];

    [Theory] // the polynomial of degree five through the six nearest printed values, a second way between them
    [InlineData(0.01, 40e-6)]
    [InlineData(0.1, 20e-6)]
    [InlineData(1, 80e-6)]
    public void Between_the_printed_temperatures_another_interpolation_agrees(double molesPerKilogram, double relative)
    {
        for (var celsius = 0.5; celsius < 35; celsius += 0.5)
        {
            var nearest = Printed.OrderBy(t => Math.Abs(t - celsius)).Take(6).ToArray();
            var quintic = nearest.Sum(t => nearest.Where(u => u != t).Aggregate(PotassiumChloride.MicrosiemensPerCm(molesPerKilogram, t), (term, u) => term * (celsius - u) / (t - u)));
            Assert.InRange(PotassiumChloride.MicrosiemensPerCm(molesPerKilogram, celsius) / quintic, 1 - relative, 1 + relative);
        }
    }

    [Theory] // by the table: 1 - 1.8370 % x 20 K at 5 °C, 1.966 % at 30 °C, of 1408.23
    [InlineData(5, 0.01837)]
    [InlineData(15, 0.01894)]
    [InlineData(20, 0.01920)]
    [InlineData(30, 0.01966)]
    public void Its_coefficient_to_25_degrees_is_that_of_no_natural_water(double celsius, double alphaPerKelvin)
        => Assert.Equal(alphaPerKelvin, ((PotassiumChloride.MicrosiemensPerCm(0.01, celsius) / PotassiumChloride.MicrosiemensPerCm(0.01, 25)) - 1) / (celsius - 25), 5);
}
