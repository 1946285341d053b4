using System.Net.ServerSentEvents;
using System.Runtime.CompilerServices;
using System.Text.Json;
using Evenwater.Page.Access;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Live;

/// <summary>
/// Live values as server-sent events (WHATWG HTML, section 9.2), one a second: of one station, or of all in few words. Each event is whole, so a lost one needs no
/// repeating; the next comes within a second also when nothing has changed, so ten seconds without any mean that the line is dead. Reads the board alone,
/// which no reader can hold up. A reader that does not take its events is not waited for by anybody but itself, and the server ends it. With the session that it was asked by it ends before its next event.
/// </summary>
internal static class LiveRoutes
{
    /// <summary>How often, about.</summary>
    private static readonly TimeSpan s_period = TimeSpan.FromSeconds(1);

    /// <summary>A stream ends after so long, and its reader comes again: who reads on is seen to use the session.</summary>
    private static readonly TimeSpan s_longest = TimeSpan.FromMinutes(10);

    /// <summary>When to come again after the line was lost; the browser obeys.</summary>
    private static readonly TimeSpan s_again = TimeSpan.FromSeconds(2);

    public static void Map(WebApplication app)
    {
        app.MapGet("/api/v1/live", (StationBoard board, HttpContext http) => Stream(
            http, () => JsonSerializer.Serialize(LiveWords.Of(board.All()), LiveJson.Default.LiveWords)));
        app.MapGet("/api/v1/stations/{name}/live", (string name, StationBoard board, HttpContext http) => board.Find(name) is null
            ? PageProblem.NoStation(name)
            : Stream(http, () => JsonSerializer.Serialize(LiveWord.Of(board.Find(name)!.Value, withValues: true), LiveJson.Default.LiveWord)));
    }

    /// <summary>Whether what is asked for is one.</summary>
    public static bool IsStream(PathString path) => path.Value!.StartsWith("/api/v1/", StringComparison.Ordinal) && path.Value.EndsWith("/live", StringComparison.Ordinal);

    private static IResult Stream(HttpContext http, Func<string> tell)
    {
        var services = http.RequestServices;
        if (!services.GetRequiredService<Listeners>().Enter(http.Connection.RemoteIpAddress, http.Response))
        {
            http.Response.Headers.RetryAfter = "5";
            return Results.Problem(
                title: "Too many listen", detail: $"{Listeners.Most} pages follow live values already, or {Listeners.MostOfOne} from this address. Close one, or ask again in a few seconds.",
                statusCode: StatusCodes.Status503ServiceUnavailable);
        }

        var (board, time, life) = (services.GetRequiredService<StationBoard>(), services.GetRequiredService<TimeProvider>(), services.GetRequiredService<IHostApplicationLifetime>());
        var (session, sessions) = (PageAccess.SessionOf(http), services.GetRequiredService<PageAccess>().Sessions);
        return TypedResults.ServerSentEvents(Follow(tell, () => session is null || sessions.GoesOn(session), board, time, life.ApplicationStopping));
    }

    private static async IAsyncEnumerable<SseItem<string>> Follow(
        Func<string> tell, Func<bool> mayHear, StationBoard board, TimeProvider time, CancellationToken ends, [EnumeratorCancellation] CancellationToken gone = default)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(ends, gone);
        using var timer = new PeriodicTimer(s_period, time);
        var began = time.GetTimestamp();
        do
        {
            yield return new SseItem<string>(tell()) { EventId = board.Count.ToString("D"), ReconnectionInterval = s_again };
        }
        while (await Next(timer, stop.Token) && mayHear() && time.GetElapsedTime(began) < s_longest);
    }

    private static async ValueTask<bool> Next(PeriodicTimer timer, CancellationToken stop)
    {
        try
        {
            return await timer.WaitForNextTickAsync(stop);
        }
        catch (OperationCanceledException)
        {
            return false;
        }
    }
}
