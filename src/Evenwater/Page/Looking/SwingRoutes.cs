using Evenwater.Core;
using Evenwater.Core.Review.Comparing;
using Evenwater.Keeping;
using Evenwater.Page.Charts;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Looking;

/// <summary>What swung in a tank: the page of a station, and its data.</summary>
internal static class SwingRoutes
{
    public const string End = "/swings";
    public const int UsualDays = 14;
    public const int MostDays = 150;
    private const string Title = "The swings can not be shown so";

    public static void Map(WebApplication app)
    {
        app.MapGet("/stations/{name}/swings", ShowPage);
        app.MapGet("/api/v1/stations/{name}/swings", (string name, StationBoard board, HttpContext http) => Data(name, board, http, csv: false));
        app.MapGet("/api/v1/stations/{name}/swings.csv", (string name, StationBoard board, HttpContext http) => Data(name, board, http, csv: true));
    }

    private static async Task<IResult> ShowPage(string name, StationBoard board, HttpContext http)
    {
        if (board.Find(name) is not { } posted) return PageProblem.NoStation(name);
        var zone = StationZone.Of(posted.View);
        var fields = new LookFields(http.Request.Query, zone, posted.View.Now);
        var ask = Ask(fields, posted.View.Now);
        var visit = PageVisit.Of(http, posted.View) with { Kept = fields.Kept, Refused = fields.Refused };
        return ask is not { } span
            ? await PageProblem.Fields(http, Title, fields.Refused, status => Show(status, null, []))
            : await LookGate.Read(http, stop =>
            {
                var back = Read(http, name, span, zone, stop);
                var made = SwingsMade.Of(back, (span.From, span.To), span.Alone, zone);
                return Show(StatusCodes.Status200OK, made, [.. LookBackText.Wanted(back, span.Alone).Select((episode, i) => SwingPictures.Of(back, episode, i + 1, zone))]);
            });

        Task<IResult> Show(int status, SwingsJson? made, IReadOnlyList<string> pictures) => PageRender.Show<SwingsPage>(
            http, status, (nameof(SwingsPage.Visit), visit), (nameof(SwingsPage.Made), made), (nameof(SwingsPage.Pictures), pictures), (nameof(SwingsPage.Zone), zone));
    }

    private static async Task<IResult> Data(string name, StationBoard board, HttpContext http, bool csv)
    {
        if (board.Find(name) is not { } posted) return PageProblem.NoStation(name);
        var zone = StationZone.Of(posted.View);
        var fields = new LookFields(http.Request.Query, zone, posted.View.Now);
        return Ask(fields, posted.View.Now) is not { } span
            ? await PageProblem.Fields(http, Title, fields.Refused)
            : await LookGate.Read(http, stop =>
            {
                var back = Read(http, name, span, zone, stop);
                DamagedHeader.Set(http, back.DamagedRows);
                return Task.FromResult(csv
                    ? Results.Text(string.Concat(LookBackText.Rows(back, span.Alone).Select(row => $"{row}\r\n")), "text/csv; charset=utf-8")
                    : Results.Json(SwingsMade.Of(back, (span.From, span.To), span.Alone, zone), LookJson.Default.SwingsJson));
            });
    }

    private static LookBack Read(HttpContext http, string name, (DateTimeOffset From, DateTimeOffset To, Channel? Alone) span, TimeZoneInfo zone, CancellationToken stop)
    {
        var back = LookBack.Read(http.RequestServices.GetRequiredService<LogPlace>().Folder, name, (span.From, span.To), zone, stop);
        stop.ThrowIfCancellationRequested();
        return back;
    }

    private static (DateTimeOffset From, DateTimeOffset To, Channel? Alone)? Ask(LookFields fields, DateTimeOffset now)
    {
        var to = fields.Time("to") ?? now;
        var from = fields.Time("from") ?? to.AddDays(-UsualDays);
        var named = fields.Text("channel");
        var alone = TankHistory.Channels.Where(channel => DidWords.Name(channel) == named).Select(channel => (Channel?)channel).FirstOrDefault();
        if (named is not null && alone is null) fields.Refuse(new("channel", named, $"one of {string.Join(", ", TankHistory.Channels.Select(DidWords.Name))}", "Or leave it open for all."));
        if (fields.Refused.Count == 0 && (from >= to || (to - from).TotalDays > MostDays)) fields.Refuse(new("from", fields.Text("from") ?? "", $"before the end, {MostDays} days before it at the most", "Ask for less, or swap the two."));
        return fields.Refused.Count == 0 ? (from, to, alone) : null;
    }
}
