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
    [InlineData(3, "since Fri 27 Nov 22:12", "By Fri 27 Nov 22:27.")]
    public void A_time_a_day_away_or_more_is_told_with_its_day(int daysAgo, string since, string by)
    {
        var then = Now.AddDays(-daysAgo);
        var line = new AlarmLine("Something is to be done again", "Nothing.", "Do it.", then.AddMinutes(7)) { Name = "routine-overdue", Since = then.AddMinutes(-8) };
        var text = AlarmsText.Of("river", new AlarmsShown([line], [], new AlarmMeasures(0, 0, [], [], 0)), Now);
        Assert.Contains($"{since}\n", text, StringComparison.Ordinal);
        Assert.Contains($"{by}\n", text, StringComparison.Ordinal);
    }
}
