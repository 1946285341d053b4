using Evenwater.Commands;
using Evenwater.Core.Keeping;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.Page.Frame;
using Evenwater.Page.Journal;

namespace Evenwater.Page.Planning;

/// <summary>A plan as the form asks for it.</summary>
internal sealed record PlanAsked
{
    private const double LeastHours = 0.5;

    /// <summary>The station to plan: in force, with the arrival's water and what was typed.</summary>
    public required Station Station { get; init; }

    /// <summary>The station before anything was typed: with the arrival's water alone. What the fields hold.</summary>
    public required Station Before { get; init; }

    /// <summary>The arrival that it is for, or null.</summary>
    public Came? Arrival { get; init; }

    /// <summary>A drip that is even after so many hours is proposed; null for the station's own.</summary>
    public double? Hours { get; init; }

    /// <summary>What had to follow from what was typed, in sentences.</summary>
    public IReadOnlyList<string> Followed { get; init; } = [];

    /// <summary>What the keeper wants.</summary>
    public PlanWishes Wishes { get; init; } = PlanWishes.None;

    /// <summary>Reads the form. What can not be is refused in it, and what was not taken is left as it was.</summary>
    /// <param name="typed">The form.</param>
    /// <param name="station">As it is in force.</param>
    /// <param name="book">Its book.</param>
    /// <param name="clock">When the run begins.</param>
    public static PlanAsked Read(TypedForm typed, Station station, Book book, PlanClock clock)
    {
        var came = typed.Text("arrival") is { } id ? Arrivals.Find(book, id) : null;
        if (came is null && typed.Text("arrival") is not null) typed.Refuse("arrival", "an arrival that stands in this station's book", "Note it first.");
        var before = came?.Animals.On(station) ?? station;
        var after = PlanField.All.Aggregate(before, (now, field) => Typed(typed, field, station, now));
        if (typed.Text("lid") is { } lid) after = after with { Room = after.Room with { Lid = lid == "1" } };
        List<string> followed = [];
        after = PlanFollows.Of(after, followed);
        // What is wrong elsewhere may only follow from a field that is wrong.
        foreach (var problems in StationRules.Check(after).Select(problem => PlanField.Of(problem, after)).ToLookup(problem => PlanField.All.Any(field => field.Key == problem.Key)).OrderByDescending(own => own.Key))
        {
            if (!problems.Key && typed.Refused.Count > 0) break;
            foreach (var problem in problems) typed.Refuse(problem, key => PlanField.All.FirstOrDefault(field => field.Key == key)?.Name ?? key);
        }


        var hours = typed.Number("hours", Allowed);
        if (hours is not (null or (>= LeastHours and <= Course.HorizonHours))) typed.Refuse("hours", Allowed, "Leave it empty to take the drip above.");
        double? Clock(string field, double later, string than)
        {
            if (typed.Text(field) is not { } text) return null;
            var (found, problem) = clock.Read(field, text, later, than);
            if (problem is null) return found;
            typed.Refuse(field, $"a time after {than}, at most {Course.HorizonHours:0} h from the start", "Write it as 07:00.");
            return null;
        }

        var by = Clock("by", 0, "the start");
        var leave = Clock("leave", 0, "the start");
        var back = Clock("back", leave ?? 0, leave is null ? "the start" : "you leave");
        return new PlanAsked
        {
            Station = typed.Refused.Count > 0 ? before : after, Before = before, Arrival = came, Followed = followed, Hours = typed.Refused.Count > 0 ? null : hours,
            Wishes = new PlanWishes { DoneByHours = by, LeaveHours = leave, BackHours = back, Present = KeeperHours.Present(station.Keeper, clock, leave, back) },
        };
    }

    /// <summary>The plan.</summary>
    public PlanPage Plan(Book book, PlanClock clock) => PlanPage.Of(Station, clock, Hours, Wishes, book, Arrival?.Animals.Group);

    private static string Allowed => $"{LeastHours} to {Course.HorizonHours:0} h";

    /// <summary>A field that holds what the station has was not typed: an arrival that is chosen afterwards still brings its own water.</summary>
    private static Station Typed(TypedForm typed, PlanField field, Station station, Station now) =>
        typed.Text(field.Name) is { } text && text != field.Shown(station) && typed.Number(field.Name, $"a number, in {field.Unit}") is { } value ? field.With(now, value) : now;
}
