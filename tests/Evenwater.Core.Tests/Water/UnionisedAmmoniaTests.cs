using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Water;

public class UnionisedAmmoniaTests
{
    [Theory] // UF/IFAS FA16, table 1, which is taken from Emerson 1975: the fraction at pH 7.0, and one at pH 8
    [InlineData(7.0, 6, 0.0013)]
    [InlineData(7.0, 10, 0.0018)]
    [InlineData(7.0, 14, 0.0025)]
    [InlineData(7.0, 16, 0.0029)]
    [InlineData(7.0, 20, 0.0039)]
    [InlineData(7.0, 24, 0.0052)]
    [InlineData(7.0, 26, 0.0060)]
    [InlineData(7.0, 28, 0.0069)]
    [InlineData(7.0, 30, 0.0080)]
    [InlineData(8.0, 24, 0.0502)]
    public void The_published_table_is_met_to_its_last_figure(double ph, double celsius, double fraction) =>
        Assert.Equal(fraction, UnionisedAmmonia.Fraction(ph, celsius), 0.00006);

    [Fact] // the same table's last column; Emerson's own ends at 30 °C, and his formula gives 2 % less
    public void Beyond_the_papers_own_table_it_is_met_to_two_hundredths() => Assert.Equal(1, UnionisedAmmonia.Fraction(7, 32) / 0.0093, 0.021);

    [Fact] // 2727.92, a misprint that is about, gives 5.45 % here
    public void The_constant_is_that_of_the_paper() => Assert.Equal(0.0537, UnionisedAmmonia.Fraction(8, 25), 0.0001);

    [Fact] // by the formula itself: at its own pKa half of it is un-ionised; 0.09018 + 2729.92 / 298.15 = 9.2464
    public void Half_of_it_is_un_ionised_at_the_pKa() => Assert.Equal(0.5, UnionisedAmmonia.Fraction(9.24638, 25), 0.0001);
}
