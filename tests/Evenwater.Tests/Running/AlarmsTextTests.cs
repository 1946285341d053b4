using Evenwater.Core.Alarms;
using Evenwater.Page;
using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>The alarms on a terminal.</summary>
public class AlarmsTextTests
{
    private static readonly DateTimeOffset Now = new(2026, 11, 30, 22, 20, 0, TimeSpan.FromHours(1));

    /// <summary>22:12 of three days ago read as ten minutes ago, and 22:27 as in ten minutes; 30 November 2026 is a Monday.</summary>
    [Theory]
    [InlineData(0, "since 22:12", "By 22:27.")]
    [InlineData(0.5, "since Mon 30 Nov 10:12", "By 10:27.")]
    [InlineData(-0.96, "since Tue 1 Dec 21:14", "By Tue 1 Dec 21:29.")] // due in 23 hours: beside a past 21:20 it had read as over
    [InlineData(3, "since Fri 27 Nov 22:12", "By Fri 27 Nov 22:27.")]
    public void A_time_more_than_half_a_day_away_is_told_with_its_day(double daysAgo, string since, string by)
    {
        var then = Now.AddDays(-daysAgo);
        var line = new AlarmLine("Something is to be done again", "Nothing.", "Do it.", then.AddMinutes(7)) { Name = "routine-overdue", Since = then.AddMinutes(-8) };
        var text = AlarmsText.Of("river", new AlarmsShown([line], [], new AlarmMeasures(0, 0, [], [], 0)), Now);
        Assert.Contains($"{since}\n", text, StringComparison.Ordinal);
        Assert.Contains($"{by}\n", text, StringComparison.Ordinal);
    }
}
