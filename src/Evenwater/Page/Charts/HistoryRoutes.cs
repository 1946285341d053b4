using Evenwater.Core;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Page.Frame;
using Microsoft.Data.Sqlite;

namespace Evenwater.Page.Charts;

/// <summary>The history of a station: its page, its data, and what is shown as files.</summary>
internal static class HistoryRoutes
{
    public const string End = "/history";
    private const string Title = "The history can not be shown so";

    public static void Map(WebApplication app)
    {
        app.MapGet("/stations/{name}/history", ShowPage);
        app.MapGet("/api/v1/history", (StationBoard board, HttpContext http) => Data(board, http, (data, here) => Results.Json(HistoryAnswer.Of(data, here), HistoryJson.Default.HistoryAnswer), marks: true));
        app.MapGet("/api/v1/history.csv", (StationBoard board, HttpContext http) => Data(board, http, (data, _) => File(http, HistoryFiles.Csv(data), "text/csv; charset=utf-8", "csv", data)));
        app.MapGet("/api/v1/history.senml", (StationBoard board, HttpContext http) => Data(board, http, (data, _) => File(http, HistoryFiles.SenMl(data), SenMl.MediaType, "senml.json", data)));
    }

    private static async Task<IResult> ShowPage(string name, StationBoard board, HttpContext http)
    {
        var reading = http.RequestServices.GetRequiredService<HistoryReading>();
        var gone = reading.Gone(board);
        if (board.Find(name) is not { } posted)
        {
            // One that is no longer watched has no page of its own: it is shown on that of another.
            return gone.FirstOrDefault(one => one.Name == name) is { } left && board.All() is [{ View.Name: var other }, ..]
                ? Results.Redirect($"{PageNav.Address(other, End)}?{left.LastWeek}")
                : PageProblem.NoStation(name);
        }

        var visit = PageVisit.Of(http, posted.View) with { Kept = http.Request.Query.ToDictionary(p => p.Key, p => p.Value.ToString()) };
        var (ask, refused) = AskReading.Of(http.Request.Query, board, name, station => Usual(reading, station), gone);
        if (ask is null)
        {
            return await PageProblem.Fields(http, Title, refused, status => Show(http, status, visit with { Refused = refused }, null, reading, gone));
        }

        return await Gated(http, stop =>
        {
            var made = HistoryMade.Of(reading, ask, stop);
            // What was taken stands in the form as the place's time, whatever way it was written.
            return Show(http, StatusCodes.Status200OK, visit with { Kept = new Dictionary<string, string>() }, made, reading, gone);
        });
    }

    private static Task<IResult> Show(HttpContext http, int status, PageVisit visit, HistoryMade? made, HistoryReading reading, IReadOnlyList<GoneStation> gone)
    {
        var fitted = visit.Stations.ToDictionary(station => station, reading.Fitted);
        foreach (var station in gone) fitted[station.Name] = station.Fitted;
        return PageRender.Show<HistoryPage>(
            http, status, (nameof(HistoryPage.Visit), visit), (nameof(HistoryPage.Made), made), (nameof(HistoryPage.Fitted), fitted), (nameof(HistoryPage.Gone), gone),
            (nameof(HistoryPage.Library), http.RequestServices.GetRequiredService<ChartLibrary>()));
    }

    private static async Task<IResult> Data(StationBoard board, HttpContext http, Func<HistoryData, string?, IResult> answer, bool marks = false)
    {
        var reading = http.RequestServices.GetRequiredService<HistoryReading>();
        var (ask, refused) = AskReading.Of(http.Request.Query, board, null, station => Usual(reading, station), reading.Gone(board));
        return ask is null
            ? await PageProblem.Fields(http, Title, refused)
            : await Gated(http, stop => Task.FromResult(answer(reading.Read(ask, marks && http.Request.Query["marks"] != "0", stop), http.Request.Query["here"] is [{ } here] ? here : null)));
    }

    /// <summary>In its turn, and a log that can not be read just now is told in words.</summary>
    private static async Task<IResult> Gated(HttpContext http, Func<CancellationToken, Task<IResult>> read)
    {
        try
        {
            return await http.RequestServices.GetRequiredService<ReadingGate>().Read(http, read);
        }
        catch (OperationCanceledException) when (http.RequestAborted.IsCancellationRequested)
        {
            return Results.Empty;
        }
        catch (Exception e) when (e is SqliteException or InvalidDataException)
        {
            return PageRefused.Answer(StatusCodes.Status503ServiceUnavailable, "The log could not be read", $"{Plain.Line(e.Message)} Look at it with `evenwater check`.");
        }
    }

    /// <summary>What is shown when nothing is chosen: the waters and their warmth.</summary>
    private static IReadOnlyList<Channel> Usual(HistoryReading reading, string station)
    {
        Channel[] usual = [Channel.VesselConductivity, Channel.TankConductivity, Channel.VesselTemperature, Channel.TankTemperature];
        var fitted = usual.Intersect(reading.Fitted(station)).ToList();
        return fitted.Count > 0 ? fitted : usual;
    }

    private static IResult File(HttpContext http, byte[] bytes, string type, string extension, HistoryData data)
    {
        DamagedHeader.Set(http, data.DamagedRows);
        http.Response.Headers.ContentDisposition = $"attachment; filename=\"history-{data.Ask.From.UtcDateTime:yyyyMMdd'T'HHmm}-{data.Ask.To.UtcDateTime:yyyyMMdd'T'HHmm}.{extension}\"";
        return Results.Bytes(bytes, type);
    }
}
