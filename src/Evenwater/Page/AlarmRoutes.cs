using System.Globalization;
using Evenwater.Page.Frame;

namespace Evenwater.Page;

/// <summary>What a person may do about an alarm from the page: say that they have seen it, or put it aside. Guarded like the closing.</summary>
internal static class AlarmRoutes
{
    private const string Path = "/api/v1/stations/{name}/alarms/{alarm}/";

    public static void Map(WebApplication app)
    {
        app.MapPost(
            Path + "acknowledge",
            (string name, string alarm, StationBoard board, AskAlarm ask, HttpContext http, IHostApplicationLifetime life) =>
                Answer(name, new AlarmAct("acknowledge", alarm), board, ask, http, life));
        app.MapPost(
            Path + "shelve",
            async (string name, string alarm, StationBoard board, AskAlarm ask, HttpContext http, IHostApplicationLifetime life) =>
                await Answer(name, await ReadShelve(alarm, http.Request), board, ask, http, life));
    }

    private static async Task<IResult> Answer(
        string name, AlarmAct act, StationBoard board, AskAlarm ask, HttpContext http, IHostApplicationLifetime life)
    {
        if (board.Find(name) is null) return PageProblem.NoStation(name);
        var answer = await ask(name, act, life.ApplicationStopping);
        return await PageRoutes.Answered(
            name, answer.Done ? StatusCodes.Status200OK : StatusCodes.Status409Conflict, answer.Text, board, http, answer.Done || act.Verb != "shelve" ? null : Typed(act));
    }

    /// <summary>What was refused is shown again as it was typed, at its own alarm.</summary>
    private static Dictionary<string, string> Typed(AlarmAct act) => new()
    {
        [$"{act.Alarm}/hours"] = (act.Seconds / 3600).ToString("0.##", CultureInfo.InvariantCulture), [$"{act.Alarm}/reason"] = act.Reason ?? "",
    };

    /// <summary>What is not a number is no time at all, which the station refuses in words.</summary>
    private static async Task<AlarmAct> ReadShelve(string alarm, HttpRequest request)
    {
        var form = request.HasFormContentType ? await request.ReadFormAsync() : null;
        var hours = double.TryParse(form?["hours"], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var h) ? h : 0;
        return new AlarmAct("shelve", alarm, hours * 3600, form?["reason"]);
    }
}
