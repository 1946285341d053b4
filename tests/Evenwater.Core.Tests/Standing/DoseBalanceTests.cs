using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Standing;

public class DoseBalanceTests
{
    private static readonly DateTimeOffset Start = new(2026, 6, 1, 8, 0, 0, TimeSpan.Zero);

    // Stewart, Calculus, section on sequences (from memory): each injection adds 1.5 mg/L after the last has been reduced by 90 %. Three injections 1.665 mg/L; in the end 5/3 mg/L.
    [Fact]
    public void The_textbooks_injections()
    {
        var steps = Enumerable.Range(0, 40).SelectMany(day => new DoseStep[] { new(Start.AddDays(day), 0, 0.9), new(Start.AddDays(day), 1.5, 0) });
        var course = DoseBalance.Course(steps).Select(step => step.PerLitre).ToList();
        Assert.Equal(1.665, course[5], 1e-12);
        Assert.Equal(5.0 / 3, course[^1], 1e-12);
    }

    [Fact] // by hand: 10; half out, 5 and 10 more: 15; half out, 7.5 and 10: 17.5; and so on
    public void Half_the_water_each_week_leads_to_twice_the_dose()
    {
        var steps = Enumerable.Range(0, 3).SelectMany(week => new DoseStep[] { new(Start.AddDays(7 * week), 0, week == 0 ? 0 : 0.5), new(Start.AddDays(7 * week).AddHours(1), 10, 0) });
        Assert.Equal([0, 10, 5, 15, 7.5, 17.5], DoseBalance.Course(steps).Select(step => step.PerLitre));
    }

    [Fact] // by hand: 1 a day against a third each week: 7 come in, and a third of 21 goes out
    public void Daily_doses_and_weekly_changes_end_in_a_swing()
    {
        var (low, high) = DoseBalance.Swing(1, 1, 1.0 / 3, 7)!.Value;
        Assert.Equal((14, 21), (Math.Round(low, 9), Math.Round(high, 9)));
        var steps = Enumerable.Range(0, 700).SelectMany(day => day % 7 == 0 ? new DoseStep[] { new(Start.AddDays(day), 0, 1.0 / 3), new(Start.AddDays(day), 1, 0) } : [new(Start.AddDays(day), 1, 0)]);
        var week = DoseBalance.Course(steps).TakeLast(8).Select(step => step.PerLitre).ToList();
        Assert.Equal(14, week[0], 1e-9); // just after the change
        Assert.Equal(21, week[^1], 1e-9); // after the week's last dose
    }

    [Fact]
    public void Without_changes_it_only_grows() => Assert.Null(DoseBalance.Swing(2.5, 1, 0, 7));

    [Theory]
    [InlineData(-0.01)]
    [InlineData(1.01)]
    [InlineData(double.NaN)]
    public void A_share_is_between_nothing_and_all(double share)
        => Assert.Throws<ArgumentOutOfRangeException>(() => DoseBalance.Course([new(Start, 0, share)]));

    [Fact]
    public void A_dose_is_not_negative() => Assert.Throws<ArgumentOutOfRangeException>(() => DoseBalance.Course([new(Start, -1, 0)]));
}
