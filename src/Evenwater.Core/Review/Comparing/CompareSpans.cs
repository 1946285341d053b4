using Evenwater.Core.Stations;

namespace Evenwater.Core.Review.Comparing;

/// <summary>What is compared with what: whole days before a change with whole days after it, so that the course of the day cancels.</summary>
/// <param name="At">When the change was made, by the keeper's clock: the hours that are compared are full ones of it, also where it is half an hour off the world's.</param>
/// <param name="BeforeDays">Days before it, 2 to 60.</param>
/// <param name="AfterDays">Days after it, 2 to 60.</param>
/// <param name="SettlingHours">Left out after it, 0 to 240 h: what settles within hours is no lasting change.</param>
public readonly record struct CompareSpans(DateTimeOffset At, int BeforeDays = CompareSpans.UsualDays, int AfterDays = CompareSpans.UsualDays, int SettlingHours = CompareSpans.UsualSettling)
{
    /// <summary>Days on each side unless said otherwise: every weekday once.</summary>
    public const int UsualDays = 7;

    /// <summary>Hours left out unless said otherwise: a day, in which heater, lamp and mixing have all come round. Common practice, no source.</summary>
    public const int UsualSettling = 24;

    /// <summary>Fewer days tell nothing of a day's course.</summary>
    public const int LeastDays = 2;

    /// <summary>More days hold more seasons than changes.</summary>
    public const int MostDays = 60;

    /// <summary>Most that may be left out, h.</summary>
    public const int MostSettling = 240;

    /// <summary>Where the days before begin: a full hour.</summary>
    public DateTimeOffset From => Hour(At).AddHours(-24 * BeforeDays);

    /// <summary>Where they end.</summary>
    public DateTimeOffset BeforeEnd => Hour(At);

    /// <summary>Where the days after begin.</summary>
    public DateTimeOffset AfterBegin => Hour(At.AddHours(SettlingHours).AddTicks(TimeSpan.TicksPerHour - 1));

    /// <summary>Where they end.</summary>
    public DateTimeOffset To => AfterBegin.AddHours(24 * AfterDays);

    /// <summary>What is wrong with them; empty when nothing is.</summary>
    public IReadOnlyList<Problem> Problems()
    {
        var findings = new Findings();
        findings.Within("before", BeforeDays, LeastDays, MostDays, "d", "Say how many whole days before the change are to be compared.");
        findings.Within("after", AfterDays, LeastDays, MostDays, "d", "Say how many whole days after the change are to be compared.");
        findings.Within("settling", SettlingHours, 0, MostSettling, "h", "Say how many hours after the change are to be left out.");
        return findings.Problems;
    }

    private static DateTimeOffset Hour(DateTimeOffset time) => time.AddTicks(-(time.Ticks % TimeSpan.TicksPerHour));
}
