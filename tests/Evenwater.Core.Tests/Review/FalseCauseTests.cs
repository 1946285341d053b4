using Evenwater.Core.Review;
using Evenwater.Core.Standing;
using static Evenwater.CoreTests.Review.MadeTank;

namespace Evenwater.CoreTests.Review;

/// <summary>What happened at the same time is no cause of what it can not have done.</summary>
public class FalseCauseTests
{
    private static readonly Happened Known = new() { TankLitres = 100 };

    private static Dictionary<Channel, Course> Tank(Func<int, double> percent, Func<int, double> celsius, Func<int, bool>? missing = null) => new()
    {
        [Channel.TankConductivity] = Of(Channel.TankConductivity, percent, missing),
        [Channel.TankTemperature] = Of(Channel.TankTemperature, celsius),
    };

    // A heater set a degree higher: 63 % of the way in five hours.
    private static double Warmer(int i) => i < Begins ? 0 : 1 - Math.Exp(-(i - Begins) / 20.0);

    private static List<Cause> Told(Dictionary<Channel, Course> tank, Happened happened) => [.. Causes.Of(Episode.Of(tank, happened)[0], tank, happened).Select(one => one.Cause)];

    [Theory] // 0.1 L of 100 L that are replaced leave 99.9 % of the salt, 0.1 %: what conductivity is off by itself
    [InlineData(1, false)]
    [InlineData(0.1, true)]
    public void A_run_does_not_warm_the_tank(double litres, bool replaced)
    {
        var tank = Tank(_ => 0, Warmer);
        var told = Told(tank, Known with { Runs = [new DrippedOut(At(Begins - 8), At(Begins + 30), litres, replaced)] });
        Assert.Equal(Cause.HeaterSchedule, told[0]);
        Assert.DoesNotContain(Cause.SourceDrip, told);
    }

    [Fact] // what is left in the tank is as it was; 1 % less at once is fresh water
    public void A_run_whose_water_nobody_replaces_thins_nothing() =>
        Assert.DoesNotContain(Cause.SourceDrip, Told(Tank(i => i < Begins ? 0 : -1, _ => 0), Known with { Runs = [new DrippedOut(At(Begins - 8), At(Begins + 30), 5, Replaced: false)] }));

    [Fact] // a cell that reads a tenth of a per cent more
    public void A_cell_s_calibration_does_not_warm_the_tank_nor_a_thermometer_s_salt_it()
    {
        Happened With(Channel channel, double step) => Known with { Calibrations = [new(channel, At(Begins + 1), step)] };
        Assert.DoesNotContain(Cause.CalibrationStep, Told(Tank(_ => 0, Warmer), With(Channel.TankConductivity, 0.1)));
        Assert.DoesNotContain(Cause.CalibrationStep, Told(Tank(i => i < Begins ? 0 : 4, _ => 0), With(Channel.TankTemperature, 0.01)));
    }

    [Fact] // of two calibrations within the hour the first is of nothing that moved, and the other of the very step
    public void Of_several_calibrations_the_one_whose_step_it_is_explains_it()
    {
        CalibrationStep Step(int at, double size) => new(Channel.TankConductivity, At(at), size);
        Assert.Equal(Cause.CalibrationStep, Told(Tank(i => i < Begins ? 0 : 4, _ => 0), Known with { Calibrations = [Step(Begins - 2, -6), Step(Begins, 4)] })[0]);
    }

    [Fact] // the thermometer was read all the time
    public void Where_one_probe_alone_was_silent_there_was_power()
    {
        static bool Silent(int i) => i is >= Begins and < Begins + 4;
        Assert.DoesNotContain(Cause.PowerCut, Told(Tank(i => i < Begins ? 0 : 4, _ => 0, Silent), Known));
    }

    [Theory] // a fifth more for an hour and a half: salt does not leave again
    [InlineData(14 * 96)]
    [InlineData(Begins + 24)] // of which no more than six hours are known yet
    public void What_is_back_within_hours_was_neither_dose_nor_top_off(int known)
    {
        foreach (var sign in new[] { 1, -1 })
        {
            var tank = Tank(i => i is >= Begins and < Begins + 6 ? 20 * sign : 0.3 * sign * (i < Begins ? 0 : 1), _ => 0, i => i >= known);
            Assert.Equal(Cause.NothingKnown, Told(tank, Known with { NewMicrosiemensPerCm = 120 })[0]);
        }
    }

    [Fact] // by hand: three hours each evening are three of a day, though the same come again the day after
    public void A_lamp_that_is_lit_three_hours_longer_is_not_as_usual_for_three_hours_of_a_day()
    {
        double Lit(int i) => i % 96 is >= 36 and < 76 || (i >= 11 * 96 && i % 96 is >= 76 and < 88) ? 10_000 : 5;
        var tank = Tank(_ => 0, _ => 0);
        tank.Add(Channel.TankLight, Of(Channel.TankLight, i => Lit(i) - 25));
        var episode = Episode.Of(tank, Known)[0];
        var light = Assert.Single(Causes.Of(episode, tank, Known), one => one.Cause == Cause.LightSchedule);
        Assert.StartsWith("the light was not as usual for 3 h of a day", light.Evidence[0].Text, StringComparison.Ordinal);
        // It was lit before the hour too, as every day: what is told is that it should have been dark.
        Assert.Equal(11 * 96 + 76, episode.At);
        var told = BeforeAfter.Of(tank[Channel.TankLight], episode.Of(Channel.TankLight))!.Value;
        Assert.Equal((5, 10_000, null), (Math.Round(told.Before), Math.Round(told.After), told.PerHour));
    }

    [Fact] // a probe errs by a share of what it reads: of three times the salt it scatters three times as wide
    public void Three_times_the_salt_that_scatters_as_much_wider_is_still_something_added()
    {
        var random = new Random(4);
        double Noise() => Enumerable.Range(0, 12).Sum(_ => random.NextDouble()) - 6;
        const int Minutes = 14 * 1440;
        var course = Course.Of(
            Channel.TankConductivity, Enumerable.Range(0, Minutes).Select(i => new Stretch(At(0).AddMinutes(i), TimeSpan.FromMinutes(1), (i < 15 * Begins ? 500 : 1500) * Math.Exp(0.002 * Noise()))),
            At(0), At(0).AddMinutes(Minutes), TimeZoneInfo.Utc);
        var tank = new Dictionary<Channel, Course> { [Channel.TankConductivity] = course, [Channel.TankTemperature] = Of(Channel.TankTemperature, _ => 0) };
        Assert.Contains(Episode.Of(tank, Known)[0].Swings, swing => swing.Restless);
        Assert.Equal(Cause.Dose, Told(tank, Known)[0]);
    }

    [Fact] // a probe that hung in another tank after five hours without a reading: all of it came then, and nothing in the half day after
    public void What_came_while_nothing_was_read_and_stayed_is_no_food_that_rots()
    {
        static bool Silent(int i) => i is >= Begins - 20 and < Begins;
        Assert.Equal(Cause.NothingKnown, Told(Tank(i => i < Begins ? 0 : 60, _ => 0, Silent), Known)[0]);
    }
}
