using Evenwater.Core.Review;
using static Evenwater.CoreTests.Review.MadeTank;

namespace Evenwater.CoreTests.Review;

/// <summary>What is told of before and after is what the tank came to, and not what it was while it was on its way.</summary>
public class BeforeAfterTests
{
    private static readonly Happened Known = new() { TankLitres = 100 };

    private static Episode One(Func<int, double> celsius, out Course course)
    {
        course = MadeTank.Of(Channel.TankTemperature, celsius);
        return Assert.Single(Episode.Of(new Dictionary<Channel, Course> { [Channel.TankTemperature] = course }, Known));
    }

    [Fact] // By hand: with a time constant of 7 h, 63 % after seven hours and 95 % after 21.
    public void A_heater_that_is_set_lower_is_told_from_where_it_was_to_near_where_it_came()
    {
        var episode = One(i => i < Begins ? 0 : -0.8 * (1 - Math.Exp(-(i - Begins) / 28.0)), out var course);
        var told = BeforeAfter.Of(course, episode.Of(Channel.TankTemperature))!.Value;
        Assert.Equal(25, told.Before, 0.05);
        Assert.InRange(told.After, 24.15, 24.5);
        Assert.InRange(told.At, Begins - 4, Begins + 4);
        Assert.True(told.AfterFrom > Begins);
    }

    [Fact] // Up for a few hours and back: told is how far it went.
    public void What_came_back_is_told_with_how_far_it_went()
    {
        var episode = One(i => i >= Begins && i < Begins + 24 ? 1 : 0, out var course);
        var told = BeforeAfter.Of(course, episode.Of(Channel.TankTemperature))!.Value;
        Assert.Equal(25, told.Before, 0.05);
        Assert.Equal(26, told.After, 0.05);
    }

    [Fact] // From 0 to 185 µS/cm: (185 / 0.1 - 1) × 100 %.
    public void Of_a_probe_that_hung_in_the_air_a_share_is_told_all_the_same() =>
        Assert.Equal(184_900, new BeforeAfter(0, 185, 0, 0, 0, 0).Change(Channel.TankConductivity), 1e-6);

    [Fact] // Told at once, a slope has no two hours behind it yet: what is told of them begins where it began, not before.
    public void After_never_begins_before_the_swing_does()
    {
        var course = MadeTank.Of(Channel.TankTemperature, i => i < Begins ? 0 : -3);
        var told = BeforeAfter.Of(course, new Swing(Channel.TankTemperature, Begins, Begins + 1, 8, -3, 0.03, SwingShape.Slope))!.Value;
        Assert.Equal((Begins, Begins), (told.At, told.AfterFrom));
        Assert.Equal(22, told.After, 0.05);
    }

    [Fact] // By hand: the median of eight from a normal distribution scatters by 1.16 / √8 of one (300 000 drawn), here 0.03 °C; 1.96 of that hold 95 %.
    public void The_interval_of_a_level_is_that_of_its_two_hours_median_and_not_narrower()
    {
        var course = MadeTank.Of(Channel.TankTemperature, i => i < Begins ? 0 : 1);
        var told = BeforeAfter.Of(course, new Swing(Channel.TankTemperature, Begins, Begins + 1, 8, 1, 0.03))!.Value;
        Assert.InRange(told.HalfWidth, 0.95 * 1.96 * 1.16 * 0.03 / Math.Sqrt(8), 1.5 * 1.96 * 1.16 * 0.03 / Math.Sqrt(8));
    }

    [Theory] // 4 °C that come within an hour and a quarter, and at once; each with up to a quarter of an hour of doubt
    [InlineData(5)]
    [InlineData(1)]
    public void Where_a_change_began_is_told_from_where_it_left_what_was_and_not_from_its_middle(int quarters)
    {
        var course = MadeTank.Of(Channel.TankTemperature, i => 4.0 / quarters * Math.Clamp(i - Begins + 1, 0, quarters));
        var swing = new Swing(Channel.TankTemperature, Begins + (quarters / 2), Begins + quarters, 4, 4, 0.03);
        var began = SwingBegin.Of(course, swing);
        Assert.InRange(began.From, Begins - 3, Begins);
        Assert.InRange(began.To, swing.At, swing.At + 2);
    }

    [Fact] // by hand: 2 °C colder after ten hours in which nothing was read, found over two hours: 2 °C in twelve
    public void Over_a_cut_of_the_power_it_is_told_from_what_was_read_before_it()
    {
        var course = MadeTank.Of(Channel.TankTemperature, i => i < Begins ? 0 : -2, missing: i => i >= Begins - 40 && i < Begins);
        var told = BeforeAfter.Of(course, new Swing(Channel.TankTemperature, Begins, Begins + 8, 8, -2, 0.03))!.Value;
        Assert.Equal(25, told.Before, 0.05);
        Assert.Equal(23, told.After, 0.05);
        Assert.Equal(-2 / 12.0, told.PerHour!.Value, 0.01);
        Assert.Equal((Begins - 40, Begins), (told.At, told.AfterFrom));
    }

    [Theory] // 1 °C up and down each day, and from a morning or an evening on half a degree more with a time constant of five hours: 98 % after 20 h
    [InlineData(0)]
    [InlineData(24)]
    [InlineData(48)]
    public void What_the_day_brings_is_no_part_of_how_far_it_went(int later)
    {
        var begins = Begins + later;
        var episode = One(i => Math.Sin(2 * Math.PI * i / 96) + (i < begins ? 0 : 0.5 * (1 - Math.Exp(-(i - begins) / 20.0))), out var course);
        var told = BeforeAfter.Of(course, episode.Of(Channel.TankTemperature))!.Value;
        Assert.InRange(told.Change(Channel.TankTemperature), 0.35, 0.56);
        Assert.True(told.OfHour);
        Assert.Equal(25 + Math.Sin(2 * Math.PI * (told.AfterFrom + 3.5) / 96), told.Before, 0.1); // as before at the middle of the two hours
        Assert.InRange(told.PerHour!.Value, 0.01, 0.2);
    }

    [Fact] // 1 % up and down each day, and 2 % more at once at midnight, when the day brings most: from 23 h to 1 h sin(2 pi 3.5 / 96) + sin(2 pi 4.5 / 96) = 0.517 %
    public void What_the_day_brings_is_no_part_of_how_far_a_conductivity_went()
    {
        const int midnight = 8 * 96;
        var course = MadeTank.Of(Channel.TankConductivity, i => Math.Sin(2 * Math.PI * i / 96) + (i < midnight ? 0 : 2));
        var told = BeforeAfter.Of(course, new Swing(Channel.TankConductivity, midnight, midnight + 8, 8, 2, 0.1))!.Value;
        Assert.True(told.OfHour);
        Assert.Equal(500 * Math.Exp(0.00227), told.Before, 0.6);
        Assert.Equal(100 * (Math.Exp(0.02) - 1), told.Change(Channel.TankConductivity), 0.15);
        Assert.Equal((told.After - told.Before) / 2, told.PerHour!.Value, 1e-9); // over the two hours that it was found over
        Assert.InRange(told.HalfWidth, 5 * 1.96 * 1.16 * 0.1 / Math.Sqrt(8), 1.5 * 5 * 1.96 * 1.16 * 0.1 / Math.Sqrt(8)); // of 500 µS/cm
        Assert.Equal((midnight + 8, midnight), (told.At, told.AfterFrom));
    }

    [Theory] // a lamp of 8000 lx from 8 to 18 h, on the ninth day at half of that: at 8 h it should have come on whole; at 18 h, off as ever, it can not be less than dark
    [InlineData(32, 8000, -4000)]
    [InlineData(72, 0, 25)]
    public void A_lamp_is_told_beside_what_it_does_at_that_hour_and_not_by_the_hour(int quarter, double before, double change)
    {
        const int day = 8 * 96;
        var course = MadeTank.Of(Channel.TankLight, i => i % 96 is < 32 or >= 72 ? 0 : i / 96 == 8 ? 4000 : 8000);
        var told = BeforeAfter.Of(course, new Swing(Channel.TankLight, day + quarter, day + quarter + 8, 8, -4000, 100))!.Value;
        Assert.Null(told.PerHour);
        Assert.Equal(before, told.Before, 50.0);
        Assert.Equal(change, told.Change(Channel.TankLight), 50.0);
    }

    [Fact] // a fifth more for three quarters of an hour: the two hours behind its beginning are as before
    public void What_is_back_within_two_hours_is_told_by_what_it_was_found_over()
    {
        var course = MadeTank.Of(Channel.TankConductivity, i => i is >= Begins and < Begins + 3 ? 20 : 0);
        var episode = Assert.Single(Episode.Of(new Dictionary<Channel, Course> { [Channel.TankConductivity] = course }, Known));
        Assert.Equal(100 * (Math.Exp(0.2) - 1), BeforeAfter.Of(course, episode.Of(Channel.TankConductivity))!.Value.Change(Channel.TankConductivity), 1.0);
    }
}
