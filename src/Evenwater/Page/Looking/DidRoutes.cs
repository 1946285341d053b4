using Evenwater.Core.Keeping;
using Evenwater.Core.Review.Comparing;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Page.Charts;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Looking;

/// <summary>What did it do? The page of a station, and its answer as data.</summary>
internal static class DidRoutes
{
    public const string End = "/did";
    private const string Title = "That can not be asked so";
    private const int MostNotes = 60;

    public static void Map(WebApplication app)
    {
        app.MapGet("/stations/{name}/did", ShowPage);
        app.MapGet("/api/v1/stations/{name}/did", (string name, StationBoard board, HttpContext http) => Data(name, board, http, csv: false));
        app.MapGet("/api/v1/stations/{name}/did.csv", (string name, StationBoard board, HttpContext http) => Data(name, board, http, csv: true));
    }

    private static async Task<IResult> ShowPage(string name, StationBoard board, HttpContext http)
    {
        if (board.Find(name) is not { } posted) return PageProblem.NoStation(name);
        var (zone, folder) = (StationZone.Of(posted.View), http.RequestServices.GetRequiredService<LogPlace>().Folder);
        var fields = new LookFields(http.Request.Query, zone, posted.View.Now);
        var ask = Ask(fields, posted.View);
        var visit = PageVisit.Of(http, posted.View) with { Kept = fields.Kept };
        return await LookGate.Read(http, async stop =>
        {
            var notes = Notes(folder, name);
            if (ask is null) return await Show(StatusCodes.Status200OK, visit, null);
            var (answer, refused) = fields.Refused.Count > 0 ? (null, fields.Refused) : Answer(folder, name, ask, zone, stop);
            return answer is null
                ? await PageProblem.Fields(http, Title, refused, status => Show(status, visit with { Refused = refused }, null))
                : await Show(StatusCodes.Status200OK, visit, answer);

            Task<IResult> Show(int status, PageVisit shown, DidFound? found) => PageRender.Show<DidPage>(
                http, status, (nameof(DidPage.Visit), shown), (nameof(DidPage.Found), found), (nameof(DidPage.Zone), zone), (nameof(DidPage.Notes), notes));
        });
    }

    private static async Task<IResult> Data(string name, StationBoard board, HttpContext http, bool csv)
    {
        if (board.Find(name) is not { } posted) return PageProblem.NoStation(name);
        var (zone, folder) = (StationZone.Of(posted.View), http.RequestServices.GetRequiredService<LogPlace>().Folder);
        var fields = new LookFields(http.Request.Query, zone, posted.View.Now);
        if (Ask(fields, posted.View) is not { } ask) return await PageProblem.Fields(http, Title, [new("note", "", "a note of the book, or a time as 'at'")]);
        if (fields.Refused.Count > 0) return await PageProblem.Fields(http, Title, fields.Refused);
        return await LookGate.Read(http, async stop =>
        {
            var (found, refused) = Answer(folder, name, ask, zone, stop);
            if (found is null) return await PageProblem.Fields(http, Title, refused);
            DamagedHeader.Set(http, found.DamagedRows);
            return csv ? Results.Text(string.Concat(DidText.Rows(found.Answer).Select(row => $"{row}\r\n")), "text/csv; charset=utf-8")
                : Results.Json(DidJson.Of(name, found), LookJson.Default.DidJson);
        });
    }

    /// <summary>What is asked; null when neither a note nor a time is.</summary>
    private static DidAsk? Ask(LookFields fields, StationView view)
    {
        var (note, at) = (fields.Text("note"), fields.Time("at"));
        var ask = new DidAsk(
            note, at, fields.Whole("before", "d", CompareSpans.LeastDays, CompareSpans.MostDays), fields.Whole("after", "d", CompareSpans.LeastDays, CompareSpans.MostDays),
            fields.Whole("settling", "h", 0, CompareSpans.MostSettling), view.ClockKnown ? view.Now : null);
        return note is null && fields.Text("at") is null && fields.Refused.Count == 0 ? null : ask;
    }

    private static (DidFound? Found, IReadOnlyList<FieldRefusal> Refused) Answer(string folder, string station, DidAsk ask, TimeZoneInfo zone, CancellationToken stop)
    {
        var (found, problems) = DidReading.Look(folder, station, ask, zone, stop);
        return (found, [.. problems.Select(problem => new FieldRefusal(problem.Key, problem.Value, problem.Allowed, problem.Advice))]);
    }

    /// <summary>What may have done something, the latest first.</summary>
    private static IReadOnlyList<Note> Notes(string folder, string station)
    {
        using var log = new LogReader(folder, KeptLog.BusySeconds);
        return [.. Books.Of(log, station).Standing.Where(note => note.At is not null && TankKnown.Of(note).Acts).Reverse().Take(MostNotes)];
    }
}
