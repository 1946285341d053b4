using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.Running;
using Evenwater.Terminal;

namespace Evenwater.Commands;

/// <summary>All that plan shows of a station, calculated; the text only lays it out.</summary>
/// <param name="Station">The station.</param>
/// <param name="Plan">Its plan.</param>
/// <param name="Clock">When it begins.</param>
/// <param name="Wishes">What the keeper wants.</param>
/// <param name="Ways">The ways side by side.</param>
/// <param name="Late">What if the keeper is late.</param>
/// <param name="Journal">What the keeper's book says against it.</param>
internal sealed record PlanPage(
    Station Station, Plan Plan, PlanClock Clock, PlanWishes Wishes, IReadOnlyList<Way> Ways, IReadOnlyList<Late> Late, IReadOnlyList<Remark<Caution>> Journal)
{
    /// <summary>Time shown beyond the last thing that happens, as a share.</summary>
    private const double Beyond = 1.1;

    public static PlanPage Of(Station station, PlanClock clock, double? evenAfterHours = null, PlanWishes? wishes = null, Book? book = null, AnimalGroup? arrived = null)
    {
        wishes ??= PlanWishes.None with { Present = KeeperHours.Present(station.Keeper, clock, null, null) };
        var plan = Planner.Make(station, evenAfterHours, wishes, RunPrior.Expected);
        return new PlanPage(station, plan, clock, wishes, Alternatives.Of(plan), Lateness.Of(plan),
            JournalWarnings.Of(book?.Standing ?? [], clock.Start, arrived ?? station.Limits.Group));
    }

    /// <summary>The course as far as it says something.</summary>
    public PlanChart.Picture Picture
    {
        get
        {
            List<(double Hours, string Name)> marks = [];
            void Mark(double? hours, string name)
            {
                if (hours is { } at && double.IsFinite(at) && at <= Course.HorizonHours) marks.Add((at, name));
            }

            Mark(Wishes.LeaveHours, "you leave");
            // Where a budget, the mark or a limit comes first, it is reckoned only: the valve has closed before.
            Mark(Plan.WhenClosed?.Hours, Plan.Obstacles.All(o => o.Kind == Obstacle.Deadline) ? "even, valve closes" : "even, if it came so far");
            Mark(Plan.Fits ? null : Plan.AtMark.Middle, "at its mark");
            Mark(Wishes.BackHours, "you are back");
            Mark(Wishes.DoneByHours, "wanted by");
            var last = marks.Count > 0 ? marks.Max(mark => mark.Hours) : Course.HorizonHours / 2;
            return new PlanChart.Picture(Plan.Course, Math.Min(Course.HorizonHours, Math.Max(1, last * Beyond)), Plan.WhenClosed?.Hours ?? double.PositiveInfinity, Station.Waters.TankMicrosiemensPerCm, Plan.Mark.Litres,
                [.. marks.OrderBy(mark => mark.Hours)]);
        }
    }
}
