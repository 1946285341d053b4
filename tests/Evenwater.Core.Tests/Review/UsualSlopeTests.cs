using Evenwater.Core.Review;
using static Evenwater.CoreTests.Review.MadeTank;

namespace Evenwater.CoreTests.Review;

/// <summary>What a tank does every day is no swing; what comes on top of it is.</summary>
public class UsualSlopeTests
{
    private static Course Salt(Func<int, double> percent) => MadeTank.Of(Channel.TankConductivity, percent);

    private static double Day(int point) => point / (double)Course.PerDay;

    [Theory]
    [InlineData(0.3)]
    [InlineData(1)]
    public void Evaporation_that_goes_on_is_told_as_usual_and_not_as_a_swing(double percentADay)
    {
        var course = Salt(i => percentADay * Day(i));
        Assert.Equal(percentADay, course.UsualPerDay, 0.03);
        Assert.Empty(Swings.Of(course));
    }

    [Fact] // Filled up on the fifth and the twelfth day, as much as it had lost in a week.
    public void A_weekly_top_off_does_not_hide_it_and_is_told_itself()
    {
        var course = Salt(i => Day(i) - (7 * Math.Floor((Day(i) + 2) / 7)));
        Assert.Equal(1, course.UsualPerDay, 0.03);
        Assert.Equal([5 * 96, 12 * 96], Swings.Of(course).Select(swing => swing.At));
        Assert.All(Swings.Of(course), swing => Assert.Equal(-7, swing.Size, 0.4));
    }

    [Fact] // Four weeks of 0.3 % a day, filled up at the end of each, and salt that leaves by 0.5 % a day for six days.
    public void Days_of_creep_beside_weekly_top_offs_leaves_the_usual_as_it_is()
    {
        var days = Enumerable.Range(0, 28 * Course.PerDay).Select(Day);
        Assert.Equal(0.3, UsualSlope.Of([.. days.Select(day => (double?)((0.3 * day) - (2.1 * Math.Floor((day + 2) / 7)) - (0.5 * Math.Clamp(day - 10, 0, 6))))]), 0.03);
    }

    [Fact]
    public void What_rises_faster_than_usual_is_a_swing_and_its_cause_tells_both()
    {
        var course = Salt(i => (0.3 * Day(i)) + (1.2 * Day(Math.Max(0, i - Begins))));
        Dictionary<Channel, Course> tank = new() { [Channel.TankConductivity] = course, [Channel.TankTemperature] = MadeTank.Of(Channel.TankTemperature, _ => 0) };
        var episode = Assert.Single(Episode.Of(tank, new Happened { TankLitres = 100 }));
        Assert.InRange(episode.At, Begins - 24, Begins + 24);
        var causes = Causes.Of(episode, tank, new Happened { TankLitres = 100 });
        Assert.Equal(Cause.Evaporation, causes[0].Cause);
        Assert.Contains(" % a day beside its usual rise of 0.", causes[0].Evidence[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_few_days_do_not_tell_what_is_usual() =>
        Assert.Equal(0, UsualSlope.Of([.. Enumerable.Range(0, 5 * Course.PerDay).Select(i => (double?)Day(i))]));
}
