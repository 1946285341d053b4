using Evenwater.Core.Planning;
using Evenwater.Core.Stations;

namespace Evenwater.Commands;

/// <summary>When the keeper is home and awake, as hours of a plan.</summary>
internal static class KeeperHours
{
    /// <summary>The keeper's day is looked at this often, h; half hours of the day fall on it.</summary>
    private const double StepHours = 1.0 / 12;

    /// <summary>The spans in which somebody is there, in order.</summary>
    /// <param name="keeper">The keeper's usual day.</param>
    /// <param name="clock">When the run begins.</param>
    /// <param name="leave">Leaves after so many hours; goes before the usual day, as does <paramref name="back"/>.</param>
    /// <param name="back">Back after so many hours.</param>
    public static IReadOnlyList<PlanWishes.Span> Present(Keeper keeper, PlanClock clock, double? leave, double? back)
    {
        var spans = new List<PlanWishes.Span>();
        double? since = null;
        for (var i = 0; i * StepHours <= Course.HorizonHours; i++)
        {
            var hours = i * StepHours;
            var there = IsThere(hours) && i * StepHours < Course.HorizonHours;
            if (there) since ??= hours;
            else if (since is { } from)
            {
                spans.Add(new PlanWishes.Span(from, hours));
                since = null;
            }
        }

        return spans;

        bool IsThere(double hours)
        {
            var ofDay = clock.At(hours).AddSeconds(30).TimeOfDay.TotalHours; // the minute that is told: a start that was reckoned may be a tick short of it
            var away = leave is not null || back is not null
                ? hours >= (leave ?? 0) && hours < (back ?? Course.HorizonHours)
                : keeper is { LeavesAtHour: { } leaves, BackAtHour: { } returns } && Within(ofDay, leaves, returns);
            return !away && Within(ofDay, keeper.AwakeFromHour, keeper.AsleepFromHour);
        }
    }

    /// <summary>Whether an hour of the day lies between two, which may stand either side of midnight; the same hour twice is the whole day.</summary>
    private static bool Within(double hour, double from, double to) => from == to || (from < to ? hour >= from && hour < to : hour >= from || hour < to);
}
