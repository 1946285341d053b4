using Evenwater.Core.Review;
using Evenwater.Core.Standing;
using static Evenwater.CoreTests.Review.MadeTank;

namespace Evenwater.CoreTests.Review;

/// <summary>Which swings are one event, and what its numbers are, where a slope is told in parts or beside something else.</summary>
public class OneEventTests
{
    private static Happened Known => new() { TankLitres = 100 };

    private static Dictionary<Channel, Course> Salt(Func<int, double> added) => new() { [Channel.TankConductivity] = Of(Channel.TankConductivity, added) };

    private static Swing Swing(int at, int told, double size, SwingShape shape = SwingShape.Level) => new(Channel.TankConductivity, at, told, 8, size, 0.1, shape);

    // % that have come, so many points after the beginning, at so much a day.
    private static double Line(int i, int begins, double aDay) => aDay / 96 * Math.Max(0, i - begins);

    [Fact] // the restlessness stands out by 35 standard deviations, the fall by ten, the warmth by five
    public void An_event_is_told_by_what_moved_and_by_restlessness_only_where_nothing_did()
    {
        var (fall, warmth, unrest) = (new Swing(Channel.TankConductivity, 100, 104, 4, -1, 0.1), new Swing(Channel.TankTemperature, 98, 110, 8, 0.5, 0.1), new Swing(Channel.TankConductivity, 90, 120, 8, 0.7, 0.02, SwingShape.Unrest));
        var episode = new Episode([unrest, warmth, fall]);
        Assert.Equal((90, 120, fall), (episode.At, episode.Until, episode.Strongest));
        Assert.Equal([fall], episode.Of(Channel.TankConductivity));
        Assert.Empty(episode.Of(Channel.TankLight));
        Assert.Equal([unrest], new Episode([unrest, warmth]).Of(Channel.TankConductivity));
        Assert.Equal(warmth, new Episode([unrest, warmth]).Strongest);
        Assert.Equal(unrest, new Episode([unrest]).Strongest);
    }

    [Fact] // ten hours missing of fifteen; two hours after the beginning and one before the end lie inside; a quarter that was begun counts
    public void How_long_it_was_read_is_counted_in_quarters_that_were()
    {
        var course = Of(Channel.TankTemperature, _ => 0, missing: i => i is >= 100 and < 140);
        Assert.Equal(5, course.HoursSeen(At(90), At(150)));
        Assert.Equal(2, course.HoursSeen(At(-50), At(8)));
        Assert.Equal(1, course.HoursSeen(At(course.Count - 4), At(course.Count + 50)));
        Assert.Equal(0.5, course.HoursSeen(At(90).AddMinutes(7), At(92)));
        Assert.Equal(0, course.HoursSeen(At(100), At(140)));
    }

    [Fact]
    public void A_line_told_in_two_parts_is_one_and_a_step_that_stays_before_a_line_or_another_step_is_not()
    {
        bool One(Func<int, double> added) => Growth.IsOne(Of(Channel.TankConductivity, added), Begins - 24, Swing(Begins + 6, Begins + 12, 0.5), Swing(Begins + 24, Begins + 36, 0.5, SwingShape.Slope));
        Assert.True(One(i => Line(i, Begins, 4)));
        Assert.False(One(i => (i < Begins + 6 ? 0 : 1) + Line(i, Begins + 24, 4)));
        Assert.False(One(i => (i < Begins + 6 ? 0 : 1) + (i < Begins + 24 ? 0 : 1)));
    }

    [Fact]
    public void What_stood_still_for_hours_between_two_falls_makes_two_events_of_them()
    {
        var courses = Salt(i => (-1.0 / 4 * Math.Clamp(i - Begins, 0, 16)) + Line(i, Begins + 90, -3));
        var episodes = Episode.Of(courses, Known);
        Assert.Equal(2, episodes.Count);
        Assert.InRange(episodes[1].At, Begins + 74, Begins + 106);
        Assert.Equal(Cause.ProbeFouling, Causes.Of(episodes[1], courses, Known)[0].Cause);
    }

    [Fact] // 1 % a day for three days, then 8 % that come with a time constant of 17 h; the half day ahead may take it to begin as much too early.
    public void What_goes_much_faster_than_the_slope_under_way_is_an_event_of_its_own()
    {
        var courses = Salt(i => Line(i, Begins - 288, 1) + (i < Begins ? 0 : 8 * (1 - Math.Exp(-(i - Begins) / 68.0))));
        var fast = Assert.Single(Episode.Of(courses, Known), one => one.At >= Begins - 48 && one.At <= Begins + 16);
        Assert.Equal(Cause.Overfeeding, Causes.Of(fast, courses, Known)[0].Cause);
    }

    [Fact]
    public void A_probe_that_grows_calm_and_then_falls_tells_of_one_film_and_one_that_rises_of_something_else()
    {
        var together = new Together(Salt(_ => 0), Known);
        var calm = Swing(Begins, Begins + 16, -0.9, SwingShape.Unrest);
        Assert.Single(together.Put([calm, Swing(Begins + 30, Begins + 50, -0.6, SwingShape.Slope)]));
        Assert.Single(together.Put([Swing(Begins, Begins + 16, -0.6, SwingShape.Slope), calm with { At = Begins + 30, FoundAt = Begins + 50 }]));
        Assert.Equal(2, together.Put([calm, Swing(Begins + 30, Begins + 50, 0.6, SwingShape.Slope)]).Count());
    }

    [Fact] // Half a sine of six hours.
    public void What_grows_and_comes_back_within_hours_is_one_event_that_nothing_known_explains()
    {
        var courses = Salt(i => i is < Begins or > Begins + 24 ? 0 : 4.5 * Math.Sin(Math.PI * (i - Begins) / 24));
        var episode = Assert.Single(Episode.Of(courses, Known));
        Assert.Equal(Cause.NothingKnown, Causes.Of(episode, courses, Known)[0].Cause);
    }

    [Fact] // 3 % within an hour and a half, three hours behind where a slope was said to begin; 6 % over a day.
    public void Whether_it_came_at_once_is_told_by_its_fastest_hours_not_by_where_it_was_said_to_begin()
    {
        bool AtOnce(Func<int, double> added) => new Moves(Of(Channel.TankConductivity, added), new Episode([Swing(Begins - 12, Begins + 4, 0.6, SwingShape.Slope)])).AtOnce;
        Assert.True(AtOnce(i => 0.5 * Math.Clamp(i - Begins, 0, 6)));
        Assert.False(AtOnce(i => Line(Math.Min(i, Begins + 84), Begins - 12, 6)));
    }

    [Theory] // °C, of 0.03 °C of noise and of none
    [InlineData(0.25, true)]
    [InlineData(0.5, true)]
    [InlineData(1, true)]
    [InlineData(3, true)]
    [InlineData(0.25, false)]
    [InlineData(3, false)]
    public void A_sharp_step_is_told_as_one_and_where_it_was(double size, bool noise)
    {
        var course = noise ? Of(Channel.TankTemperature, i => i < Begins ? 0 : size) : Course.Of(
            Channel.TankTemperature, Enumerable.Range(0, 14 * 96).Select(i => new Stretch(At(i), TimeSpan.FromMinutes(15), i < Begins ? 25 : 25 + size)), At(0), At(14 * 96), TimeZoneInfo.Utc);
        var swing = Swings.Of(course)[0];
        Assert.Equal((Begins, SwingShape.Level), (swing.At, swing.Shape));
    }

    [Fact]
    public void A_step_right_behind_a_slope_is_found_at_once()
    {
        var slope = Swings.Of(Of(Channel.TankConductivity, i => Line(i, Begins, 2)))[0].FoundAt;
        Assert.Contains(Swings.Of(Of(Channel.TankConductivity, i => Line(i, Begins, 2) - (i < slope + 1 ? 0 : 3))), swing => swing.Size < -2 && swing.FoundAt <= slope + 5);
    }

    [Fact] // 4 % at once, and an hour and a half later nothing is read for four hours
    public void A_step_shortly_before_a_gap_is_not_told_a_second_time_behind_it()
    {
        var swing = Assert.Single(Swings.Of(MadeTank.Of(Channel.TankConductivity, i => i < Begins ? 0 : 4, i => i is >= Begins + 6 and < Begins + 22)));
        Assert.Equal(Begins, swing.At);
    }

    [Fact] // 1-sigma of 1, and 0.3 from the tenth of thirty days on.
    public void A_cell_that_grew_calm_for_good_is_judged_by_what_it_did_before()
    {
        var random = new Random(3);
        double?[] values = [.. Enumerable.Range(0, 30 * 96).Select(i => (double?)((i < 960 ? 1 : 0.3) * (Enumerable.Range(0, 12).Sum(_ => random.NextDouble()) - 6)))];
        Assert.Equal(1, Restlessness.Of(values, 0.001, mayCalm: true).OfPoint, 0.08);
        Assert.Equal(0.3, Restlessness.Of(values, 0.001).OfPoint, 0.03);
    }
}
