using Evenwater.Core.Planning;
using Evenwater.Core.Telling;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Telling;

/// <summary>What is beyond a limit does not read like the limit.</summary>
public class BeyondTests
{
    [Theory]
    [InlineData(4.2, 3, "0.0", "0.#", "4.2", "3")] // as it is told otherwise
    [InlineData(3.04, 3, "0.0", "0.#", "3.04", "3.00")]
    [InlineData(3.004, 3, "0.0", "0.#", "3.004", "3.000")]
    [InlineData(160.3, 160, "0", null, "160.3", "160.0")]
    [InlineData(1.503, 1.5, "0.0#", null, "1.503", "1.500")]
    [InlineData(3, 3, "0.0", "0.#", "3.0", "3")] // not beyond it
    [InlineData(3.00000001, 3, "0.0", "0.#", "3.000000", "3.000000")] // finer tells nothing
    public void As_many_digits_are_told_as_tell_them_apart(double value, double limit, string form, string? limitForm, string told, string most) =>
        Assert.Equal(new Beyond(told, most), Beyond.Of(value, limit, form, limitForm));

    [Fact]
    public void A_plan_just_beyond_a_limit_says_so()
    {
        var station = River.With(waters: w => w with { BagTemperatureCelsius = 21.96, TankTemperatureCelsius = 25 }) with { Limits = new() { TotalCelsius = 3 } };
        Assert.Contains(Planner.Make(station).Advice.For, text => text.StartsWith("the waters are 3.04 °C apart; 3.00 is the limit of one run (", StringComparison.Ordinal));

        var river = River.With();
        var takes = Planner.Make(river).WhenClosed!.Value.InflowLitres;
        var text = Assert.Single(Planner.Make(river with { Source = river.Source with { MaxDrawLitres = takes - 0.004 } }).Obstacles, one => one.Kind == Obstacle.SourceDraw).Text;
        Assert.Equal(2, text.Split(' ').Where(word => double.TryParse(word, out _)).Distinct().Count());
    }
}
