using Evenwater.Core.Mixing;
using Evenwater.Core.Pacing;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Pacing;

public sealed class PacingTests(ITestOutputHelper output)
{
    /// <summary>The short version's nights: a slow and a sudden clog, falling heads, a surge, nothing at all; `pace` judges 200.</summary>
    private static readonly ulong[] Seeds = [6010, 6011, 6012, 6013, 6014, 6015];

    /// <summary>
    /// Near its mark a run closes as planned when the waters are more likely even than not, so some close a hair short: so far apart they may be at most, as a multiple of what
    /// counts as even. Common practice, no source; 200 nights by `pace` tell 1.036 in the worst.
    /// </summary>
    private const double NearlyEven = 1.02;

    /// <summary>Letting in all that is allowed at every moment is the fastest there is: a dynamic programme that knows no such rule finds nothing faster, and nothing much slower.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(6)]
    public void The_paced_course_is_as_fast_as_a_dynamic_programme_under_the_same_limits(int seed)
    {
        var chance = new Chance(seed);
        var wanted = new BestCase(
            chance.Between(1.2, 2.5), chance.Between(120, 500), 0, chance.Between(19, 22), chance.Between(22.5, 26), chance.Between(20, 24), chance.Between(0.5, 2),
            chance.Between(60, 160), chance.Between(0.8, 2.5));
        wanted = wanted with { Tolerance = wanted.Apart / chance.Between(2.5, 5) };
        var drip = chance.Between(1.8, 6);
        var best = BestCourse.Hours(wanted, _ => drip, 30);
        var course = new PacedCourse
        {
            MostLitresPerHour = drip,
            Pace = new Pace(wanted.MostPerHour, wanted.MostCelsiusPerHour, double.PositiveInfinity, double.PositiveInfinity),
            TankMicrosiemensPerCm = 200,
            MicrosiemensPerCm = 200 + wanted.Apart,
            TankCelsius = wanted.TankCelsius,
            Celsius = wanted.StartCelsius,
            Room = new HeatExchange(wanted.RoomLitresPerHour * HeatExchange.WattHoursPerLitreKelvin, wanted.RoomCelsius),
            Litres = wanted.StartLitres,
        };
        var ours = course.GoUntilEven(wanted.Tolerance, 30);
        output.WriteLine($"{wanted}, drip {drip:0.00} L/h: {ours:0.000} h, dynamic programme {best:0.000} h, ratio {ours / best:0.0000}");
        Assert.InRange(ours / best, 0.97, 1.02);
    }

    /// <summary>t = K/r (1/V0 - 1/V1) with K = V0 d0: integral of dV over q = r V^2 / K. Worked by hand: 225 x 1.6 / 150 x (1/1.6 - 1/9) = 1.2333 h.</summary>
    [Fact]
    public void A_fill_that_only_the_limit_holds_back_takes_the_closed_forms_time()
    {
        var course = new PacedCourse
        {
            MostLitresPerHour = 1000,
            Pace = new Pace(150, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity),
            TankMicrosiemensPerCm = 185,
            MicrosiemensPerCm = 410,
            Litres = 1.6,
        };
        Assert.Equal(1.2333, course.GoUntilEven(40, 30), 0.01);
        Assert.Equal(9.0, course.Litres, 0.05);
    }

    /// <summary>The open drip: 7.4 L at 0.9 L/h are 8.222 h, to 9.0 L, by hand.</summary>
    [Fact]
    public void Without_a_pace_it_is_the_plain_fill()
    {
        var course = new PacedCourse
        {
            MostLitresPerHour = 0.9,
            Pace = new Pace(double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity),
            TankMicrosiemensPerCm = 185,
            MicrosiemensPerCm = 410,
            Litres = 1.6,
        };
        Assert.Equal(8.222, course.GoUntilEven(40, 30), 0.03);
    }

    [Fact]
    public void Paced_nights_keep_to_the_limits_and_are_nearly_as_fast_as_the_limits_allow()
    {
        var nights = new PacedNight[Seeds.Length];
        Parallel.For(0, Seeds.Length, i => nights[i] = PacedNight.Run(Seeds[i]));
        foreach (var night in nights)
        {
            output.WriteLine(PacedFigures.Line(night));
            Assert.Equal(0, night.Verdict.SpilledLitres);
            Assert.True(night.Hours is not null || night.ApartAtClose <= NearlyEven, PacedFigures.Line(night));
        }

        var figures = PacedFigures.Of(nights);
        output.WriteLine(figures.ToString());
        Assert.True(figures.Holds, figures.ToString());
        Assert.InRange(figures.Compared, Seeds.Length - 1, Seeds.Length);
    }
}
