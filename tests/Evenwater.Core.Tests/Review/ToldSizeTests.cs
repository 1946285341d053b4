using System.Globalization;
using System.Text.RegularExpressions;
using Evenwater.Core.Review;
using static Evenwater.CoreTests.Review.MadeTank;

namespace Evenwater.CoreTests.Review;

/// <summary>Conductivity is looked at by its logarithm; what is told is per cent of what was before, which a person can check with the two figures beside it.</summary>
public class ToldSizeTests
{
    [Theory] // By hand.
    [InlineData(Channel.TankConductivity, 0.5, -50)]
    [InlineData(Channel.TankConductivity, 1.2, 20)]
    [InlineData(Channel.TankConductivity, 1.01, 1)]
    public void A_swing_of_conductivity_is_told_in_per_cent_of_what_was(Channel channel, double times, double percent) =>
        Assert.Equal(percent, new Swing(channel, 10, 12, 2, 100 * Math.Log(times), 0.1).Told, 1e-9);

    [Fact]
    public void What_is_no_logarithm_is_told_as_it_is_and_restlessness_in_times()
    {
        Assert.Equal(-1.5, new Swing(Channel.TankTemperature, 10, 12, 2, -1.5, 0.1).Told);
        Assert.Equal(700, new Swing(Channel.TankLight, 10, 12, 2, 700, 50).Told);
        Assert.Equal(3, new Swing(Channel.TankConductivity, 10, 12, 2, Math.Log(3), 0.1, SwingShape.Unrest).Told, 1e-9);
    }

    [Fact] // A fifth more salt within a quarter of an hour.
    public void So_are_the_numbers_of_its_causes()
    {
        var size = 100 * Math.Log(1.2);
        Dictionary<Channel, Course> tank = new()
        {
            [Channel.TankConductivity] = MadeTank.Of(Channel.TankConductivity, i => i < Begins ? 0 : size),
            [Channel.TankTemperature] = MadeTank.Of(Channel.TankTemperature, _ => 0),
        };
        var dose = Causes.Of(new Episode([new Swing(Channel.TankConductivity, Begins, Begins + 2, 2, size, 0.1)]), tank, new Happened { TankLitres = 100 }).Single(one => one.Cause == Cause.Dose);
        foreach (var told in new[] { "conductivity rose by ([0-9.]+) % within hours", "half a day later it is ([0-9.]+) %" })
        {
            var number = dose.Evidence.Select(one => Regex.Match(one.Text, told)).Single(match => match.Success).Groups[1].Value;
            Assert.Equal(20, double.Parse(number, CultureInfo.InvariantCulture), 0.3);
        }
    }
}
