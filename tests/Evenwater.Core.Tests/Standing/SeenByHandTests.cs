using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Standing;

public class SeenByHandTests
{
    private static ManualTest Nitrate(double value, double step, bool below = false) => new() { Of = Substance.Nitrate, Value = value, Step = step, Below = below };

    // GUM (JCGM 100:2008), 4.3.7: half-width a gives a/sqrt(3); for a scale read to 5 mg/L that is 2.5/1.7321 = 1.4434.
    [Fact]
    public void A_kit_is_as_sure_as_its_step() => Assert.Equal(1.4434, Nitrate(20, 5).Sd, 5e-5);

    [Theory]
    [InlineData(20, 25, false)] // one step apart: each may have been read off by half a step
    [InlineData(20, 30, true)]
    [InlineData(20, 20, false)]
    public void One_step_apart_may_be_one_and_the_same_water(double one, double other, bool differ)
    {
        Assert.Equal(differ, Nitrate(one, 5).DiffersFrom(Nitrate(other, 5)));
        Assert.Equal(differ, Nitrate(other, 5).DiffersFrom(Nitrate(one, 5)));
    }

    [Fact]
    public void Less_than_a_value_differs_only_from_what_is_well_above_it()
    {
        Assert.True(Nitrate(5, 5, below: true).DiffersFrom(Nitrate(10, 5)));
        Assert.True(Nitrate(10, 5).DiffersFrom(Nitrate(5, 5, below: true)));
        Assert.False(Nitrate(5, 5, below: true).DiffersFrom(Nitrate(5, 5)));
        Assert.True(Nitrate(5, 20, below: true).DiffersFrom(Nitrate(7, 2))); // half a step of the one that told a value, 1
        Assert.False(Nitrate(5, 2, below: true).DiffersFrom(Nitrate(7, 20)));
        Assert.True(Nitrate(7, 2).DiffersFrom(Nitrate(5, 20, below: true)));
        Assert.False(Nitrate(3, 2).DiffersFrom(Nitrate(5, 20, below: true)));
        Assert.False(Nitrate(5, 5, below: true).DiffersFrom(Nitrate(2, 1)));
        Assert.False(Nitrate(5, 5, below: true).DiffersFrom(Nitrate(50, 5, below: true)));
    }

    [Theory]
    [InlineData(Substance.Nitrate, -1, 5, "NO3: -1. Allowed: 0 to 1000 mg/L.")]
    [InlineData(Substance.Ph, 15, 0.5, "pH: 15. Allowed: 3 to 11 (pH).")]
    [InlineData(Substance.CarbonateHardness, 51, 1, "KH: 51. Allowed: 0 to 50 °dH.")]
    [InlineData(Substance.Iron, 0.1, 0, "step: 0. Allowed: more than 0 to 50 mg/L.")]
    [InlineData(Substance.Iron, double.NaN, 0.1, "Fe: NaN. Allowed: 0 to 50 mg/L.")]
    public void A_test_that_can_not_be_is_refused_by_name_value_and_range(Substance of, double value, double step, string told) =>
        Assert.StartsWith(told, Assert.Single(Substances.Check(new() { Of = of, Value = value, Step = step })).ToString(), StringComparison.Ordinal);

    [Fact] // pH from 3 to 11: no kit's colours lie further apart; one that shows 3 at the least can not show less
    public void A_step_is_no_wider_than_the_scale_and_less_than_the_least_is_nothing()
    {
        Assert.Empty(Substances.Check(new() { Of = Substance.Ph, Value = 7, Step = 8 }));
        Assert.Equal("step", Assert.Single(Substances.Check(new() { Of = Substance.Ph, Value = 7, Step = 8.1 })).Key);
        Assert.Empty(Substances.Check(new() { Of = Substance.Nitrate, Value = 5, Step = 5, Below = true }));
        Assert.Contains("more than 0 with 'below'", Assert.Single(Substances.Check(new() { Of = Substance.Nitrate, Value = 0, Step = 5, Below = true })).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_substance_has_a_symbol_that_leads_back_to_it()
    {
        foreach (var of in Enum.GetValues<Substance>()) Assert.Equal(of, Substances.Named(Substances.Symbol(of).ToLowerInvariant()));
        Assert.Null(Substances.Named("H2O"));
    }

    [Fact]
    public void Every_sight_has_a_name_and_five_different_steps()
    {
        foreach (var sight in Enum.GetValues<Sight>())
        {
            Assert.Equal(sight, Sights.Named(Sights.Name(sight)));
            Assert.Equal(Sights.Steps, Enumerable.Range(1, Sights.Steps).Select(step => Sights.Words(sight, step)).Distinct().Count());
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(6)]
    public void A_sixth_step_is_refused_and_the_five_are_told(int step)
    {
        var problem = Assert.Single(Sights.Check(new(Sight.PlantColour, step)));
        Assert.Equal("plant-colour", problem.Key);
        Assert.Contains("4 even and fresh", problem.Advice, StringComparison.Ordinal);
    }
}
