using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using static Evenwater.CoreTests.Review.MadeTank;

namespace Evenwater.CoreTests.Review;

/// <summary>Causes of an episode that is said to begin hours too early, or beside something else.</summary>
public class EarlySignsTests
{
    private static Happened Known => new() { TankLitres = 100, NewMicrosiemensPerCm = 475, NewCelsius = 20 };

    private static Dictionary<Channel, Course> Tank(Func<int, double> percent, Func<int, double> celsius, Func<int, bool>? missing = null) => new()
    {
        [Channel.TankConductivity] = MadeTank.Of(Channel.TankConductivity, percent, missing),
        [Channel.TankTemperature] = MadeTank.Of(Channel.TankTemperature, celsius, missing),
    };

    private static Swing Salt(int at, int told, double size, SwingShape shape = SwingShape.Slope) => new(Channel.TankConductivity, at, told, 16, size, 0.1, shape);

    private static Swing Heat(int at, int told, double size) => new(Channel.TankTemperature, at, told, 4, size, 0.02);

    private static List<Cause> Told(Dictionary<Channel, Course> tank, Happened happened, params Swing[] swings) => [.. Causes.Of(new Episode(swings), tank, happened).Select(one => one.Cause)];

    [Fact]
    public void A_run_explains_what_was_said_to_begin_before_it_when_it_was_told_during_it_but_not_what_was_told_before()
    {
        var tank = Tank(i => -0.25 * Math.Clamp(i - Begins, 0, 20), _ => 0);
        var known = Known with { Runs = [new DrippedOut(At(Begins), At(Begins + 20), 5)] };
        Assert.Equal(Cause.SourceDrip, Told(tank, known, Salt(Begins - 20, Begins + 6, -0.8))[0]);
        Assert.DoesNotContain(Cause.SourceDrip, Told(tank, known, Salt(Begins - 20, Begins - 6, -0.8)));
    }

    [Fact]
    public void A_calibration_a_power_cut_and_a_probe_in_the_air_are_seen_where_the_episode_was_told_although_it_began_hours_earlier()
    {
        var known = Known with { Calibrations = [new(Channel.TankConductivity, At(Begins), 4)] };
        Assert.Equal(Cause.CalibrationStep, Told(Tank(i => i < Begins ? 0 : 4, _ => 0), known, Salt(Begins - 12, Begins + 1, 0.6))[0]);
        Assert.Equal(Cause.PowerCut, Told(Tank(_ => 0, _ => 0, i => i is >= Begins and < Begins + 12), Known, Salt(Begins - 16, Begins + 14, 0.6))[0]);
        Assert.Equal(Cause.ProbeOutOfWater, Told(Tank(i => i is < Begins or > Begins + 8 ? 0 : -400, _ => 0), Known, Salt(Begins - 10, Begins + 1, -3, SwingShape.Unrest), Salt(Begins, Begins + 1, -400, SwingShape.Level))[0]);
    }

    [Fact] // 0.6 % a day: after 15 h 0.38 %, six times what an hour's mean is off by itself; the program was then stopped for 45 min.
    public void A_pause_in_what_was_under_way_before_it_did_not_make_it()
    {
        List<Cause> With(int pause) => Told(Tank(i => 0.6 / 96 * Math.Max(0, i - Begins), _ => 0, i => i >= pause && i < pause + 3), Known, Salt(Begins, Begins + 90, 0.55));
        Assert.DoesNotContain(Cause.PowerCut, With(Begins + 60));
        Assert.Equal(Cause.Evaporation, With(Begins + 60)[0]);
        Assert.Contains(Cause.PowerCut, With(Begins - 3));
    }

    [Fact]
    public void A_meal_after_the_rise_was_told_did_not_make_it()
    {
        static Note Meal(int point, double portions) => new() { Kind = NoteKind.Feed, At = At(point), Amount = portions, Unit = "portions" };
        bool Blamed(int big) => Causes.Of(new Episode([Salt(Begins, Begins + 20, 0.5)]), Tank(i => 2.0 / 96 * Math.Max(0, i - Begins), _ => 0), Known with { Notes = [Meal(Begins - 300, 1), Meal(Begins - 200, 1), Meal(Begins - 100, 1), Meal(big, 5)] })
            .Single(one => one.Cause == Cause.Overfeeding).Evidence.Any(one => one.Text.StartsWith("the book tells of a meal of 5", StringComparison.Ordinal));
        Assert.True(Blamed(Begins - 8));
        Assert.True(Blamed(Begins + 8)); // where a slope begins is known to hours
        Assert.False(Blamed(Begins + 30));
    }

    [Fact] // 2 % a day, and half a degree for four hours.
    public void What_warmed_the_water_meanwhile_speaks_against_slow_evaporation_but_does_not_rule_it_out()
    {
        Dictionary<Channel, Course> Of(double celsius) => Tank(i => 2.0 / 96 * Math.Max(0, i - Begins), i => i is >= Begins and < Begins + 16 ? celsius : 0);
        double Score(double celsius, params Swing[] swings) => Causes.Of(new Episode(swings), Of(celsius), Known).Single(one => one.Cause == Cause.Evaporation).Score;
        Assert.InRange(Score(0.5, Salt(Begins, Begins + 20, 0.5), Heat(Begins, Begins + 2, 0.5)), 0, Score(0, Salt(Begins, Begins + 20, 0.5)) - 1);
    }

    [Fact]
    public void A_heater_s_change_is_not_ruled_out_by_what_came_too_soon_after_it()
    {
        var episode = new Episode([Heat(Begins, Begins + 2, 1.5)]) { Disturbed = new Dictionary<Channel, int> { [Channel.TankTemperature] = Begins + 16 } };
        Assert.Contains(Cause.HeaterSchedule, Causes.Of(episode, Tank(_ => 0, i => i < Begins ? 0 : 1.5), Known).Take(3).Select(one => one.Cause));
    }

    [Theory] // measured until so many quarters after it began, or until something else moved it
    [InlineData(24, "by 1.52 °C 4 h later")]
    [InlineData(80, "by 1.52 °C half a day later")]
    [InlineData(120, "by 1.52 half a day and 1.5 °C a day later")]
    public void What_is_told_of_a_heater_s_change_is_no_more_than_was_measured_after_it(int until, string words)
    {
        var episode = new Episode([Heat(Begins, Begins + 2, 1.5)]) { Disturbed = new Dictionary<Channel, int> { [Channel.TankTemperature] = Begins + until } };
        var text = Causes.Of(episode, Tank(_ => 0, i => i < Begins ? 0 : 1.5), Known).Single(one => one.Cause == Cause.HeaterSchedule).Evidence[0].Text;
        Assert.EndsWith(words, text, StringComparison.Ordinal);
    }

    [Fact] // Up by 1.5 °C over six hours, and back with a time constant of thirty: after twelve hours 82 %, after a day 55 % of the most, but 160 % and 110 % of what it was after three hours.
    public void A_warm_spell_that_cools_again_is_no_heater_s_change()
    {
        var tank = Tank(_ => 0, i => i < Begins ? 0 : i < Begins + 24 ? 1.5 / 24 * (i - Begins) : 1.5 * Math.Exp(-(i - Begins - 24) / 120.0));
        Assert.Equal(Cause.NothingKnown, Told(tank, Known, Heat(Begins, Begins + 2, 0.3))[0]);
    }

    [Fact] // New water of 475 in 500 µS/cm is 5 % less, known to 3 %: a fall of 5.6 % would be 109 % of the water, within the doubt; one of 14 % would not.
    public void A_water_change_may_come_to_more_than_all_water_when_the_new_one_is_hardly_different()
    {
        Assert.Contains(Cause.WaterChange, Told(Tank(i => i < Begins ? 0 : -5.6, _ => 0), Known, Salt(Begins, Begins + 1, -5.6, SwingShape.Level)));
        Assert.DoesNotContain(Cause.WaterChange, Told(Tank(i => i < Begins ? 0 : -14, _ => 0), Known, Salt(Begins, Begins + 1, -14, SwingShape.Level)));
    }

    [Theory] // PSS-78 at 25 °C: 53.0650 mS/cm are salinity 35 and 50.3571 are 33, so conductivity goes with salinity to the power 0.890 there; of fresh water with 0.983
    [InlineData(50_000, 2 / 0.890)]
    [InlineData(500, 2 / 0.983)]
    public void What_evaporates_is_told_in_litres_by_the_salt_that_stays_and_not_by_conductivity_alone(double microsiemensPerCm, double litres)
    {
        var tank = new Dictionary<Channel, Course> { [Channel.TankConductivity] = MadeTank.Of(Channel.TankConductivity, i => (100 * Math.Log(microsiemensPerCm / 500)) + (2.0 / 96 * Math.Max(0, i - Begins))) };
        var text = Causes.Of(new Episode([Salt(Begins, Begins + 20, 0.5)]), tank, Known).Single(one => one.Cause == Cause.Evaporation).Evidence[0].Text;
        var (aDay, lost) = (Number(text, "rises by ", " %"), Number(text, ": ", " L a day"));
        Assert.Equal(litres / 2, lost / aDay, 0.01);

        static double Number(string text, string from, string to) => double.Parse(text[(text.IndexOf(from, StringComparison.Ordinal) + from.Length)..text.IndexOf(to, StringComparison.Ordinal)], System.Globalization.CultureInfo.InvariantCulture);
    }

    [Theory] // a film of 1 % a day seen in steps of 5 µS/cm, of 500: no quarter of an hour differs from the next but now and then
    [InlineData(5, "too little to tell whether it moves less")]
    [InlineData(0.01, "its small movements are ")]
    public void A_coarse_probe_s_small_movements_are_not_held_against_none(double step, string told)
    {
        double Read(int i) => 100 * Math.Log(Math.Round(500 * Math.Exp(-1.0 / 96 * Math.Max(0, i - Begins) / 100) / step) * step / 500);
        var course = Course.Of(Channel.TankConductivity, Enumerable.Range(0, 14 * 96).Select(i => new Core.Standing.Stretch(At(i), TimeSpan.FromMinutes(15), 500 * Math.Exp(Read(i) / 100) * (step < 1 ? 1 + (1e-3 * (i % 3)) : 1))), At(0), At(14 * 96), TimeZoneInfo.Utc);
        var film = Causes.All(new Episode([Salt(Begins, Begins + 90, -1)]), new Dictionary<Channel, Course> { [Channel.TankConductivity] = course }, Known).Single(one => one.Cause == Cause.ProbeFouling);
        Assert.Contains(film.Evidence, one => one.Text.StartsWith(told, StringComparison.Ordinal));
        Assert.True(double.IsFinite(film.Score));
    }
}
