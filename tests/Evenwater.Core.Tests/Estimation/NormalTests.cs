using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

public sealed class NormalTests
{
    // Abramowitz and Stegun, tables 26.1 and 26.2.
    [Theory]
    [InlineData(0, 0.5)]
    [InlineData(1, 0.841344746068543)]
    [InlineData(1.96, 0.975002104851780)]
    [InlineData(-2.326, 0.010009275340844)]
    [InlineData(-5, 2.866515719e-7)]
    [InlineData(-8, 6.22096057e-16)]
    public void Cumulative_agrees_with_the_table_to_one_in_a_million_even_in_the_tail(double z, double expected) =>
        Assert.InRange(Normal.Cumulative(z) / expected, 1 - 1e-6, 1 + 1e-6);

    [Theory]
    [InlineData(0.05, -1.6448536269514729)]
    [InlineData(0.5, 0)]
    [InlineData(0.75, 0.6744897501960817)]
    [InlineData(0.999, 3.090232306167813)]
    public void Inverse_agrees_with_the_table(double p, double z) => Assert.Equal(z, Normal.Inverse(p), 5);
}
