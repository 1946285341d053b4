using Evenwater.Commands;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Page.Frame;
using Evenwater.Page.Journal;

namespace Evenwater.Page.Planning;

/// <summary>Where the plan's page takes a station from: as it is in force, calibrations over its file, and what they changed; null for one that is not here.</summary>
internal delegate (Station Station, IReadOnlyList<string> Calibrated)? TellStation(string name);

/// <summary>The answer before a run, for numbers that may be tried otherwise. Reads alone: nothing of it is kept.</summary>
internal static class PlanRoutes
{
    /// <summary>Asked by the page's own script while somebody types: half a number is no fault then, and no browser should complain of it.</summary>
    private const string Live = "live";

    public static void Map(WebApplication app) =>
        app.MapGet("/stations/{name}/plan", (string name, HttpContext http) => JournalRoutes.On(name, http, posted => Show(http, posted)));

    private static Task<IResult> Show(HttpContext http, Posted posted)
    {
        if (http.RequestServices.GetRequiredService<TellStation>()(posted.View.Name) is not var (station, calibrated)) return Task.FromResult(PageProblem.NoStation(posted.View.Name));
        var gate = http.RequestServices.GetRequiredService<ReadingGate>();
        return gate.Read(http, _ =>
        {
            var desk = http.RequestServices.GetRequiredService<JournalDesk>();
            var (book, clock) = (desk.Book(posted.View.Name), new PlanClock(posted.View.Now, desk.Zone));
            var typed = TypedForm.Of(http.Request.Query);
            var asked = PlanAsked.Read(typed, station, book, clock);
            var arrivals = Arrivals.Of(book);
            var unseen = typed.Refused.Where(refused => refused.Field.Contains('.', StringComparison.Ordinal) || (refused.Field == "arrival" && arrivals.Count == 0)).Select(refused => $"{refused.Field}: {refused.Sentence}").ToList();
            return PageRender.Show<PlanFormPage>(
                http, typed.Refused.Count > 0 && typed.Text(Live) is null ? StatusCodes.Status422UnprocessableEntity : StatusCodes.Status200OK,
                (nameof(PlanFormPage.Visit), PageVisit.Of(http, posted.View) with { Kept = Kept(typed, station), Refused = typed.Refused, Answer = unseen.Count > 0 ? string.Join(' ', unseen) : null }),
                (nameof(PlanFormPage.Before), asked.Before),
                (nameof(PlanFormPage.Arrivals), arrivals),
                (nameof(PlanFormPage.Shown), typed.Refused.Count > 0 ? null : PlanShown.Of(asked.Plan(book, clock), [.. asked.Followed, .. calibrated])));
        });
    }

    /// <summary>What was typed; a field that holds what the station has shows what the arrival brings.</summary>
    private static Dictionary<string, string> Kept(TypedForm typed, Station station) => typed.Fields
        .Where(field => PlanField.All.FirstOrDefault(known => known.Name == field.Key) is not { } known || field.Value.Trim() != known.Shown(station))
        .ToDictionary(field => field.Key, field => field.Value);
}
