using Evenwater.Page.Access;
using Evenwater.Page.Charts;
using Evenwater.Page.Arriving;
using Evenwater.Page.Frame;
using Evenwater.Page.Live;
using Evenwater.Page.Opening;
using Evenwater.Page.Tonight;
using Evenwater.Page.SignIn;
using Evenwater.Page.Journal;
using Evenwater.Page.Planning;
using Evenwater.Page.Looking;
using Microsoft.AspNetCore.Components.Web;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.AspNetCore.Server.Kestrel.Transport.Sockets;
using Microsoft.Extensions.DependencyInjection.Extensions;

namespace Evenwater.Page;

/// <summary>Composes the page: what it needs and where it answers.</summary>
public static class PageRoutes
{
    /// <summary>
    /// Registers the page. The program must also register a <see cref="StationBoard"/>, its <see cref="CloseValve"/>,
    /// its <see cref="AskAlarm"/>, its <see cref="TellMetrics"/>, its <see cref="TellLog"/>, its <see cref="DismissCautions"/>, its <see cref="AskOpening"/>, its <see cref="TellBudget"/>, <see cref="PageRefusals"/> and a <see cref="TimeProvider"/>.
    /// </summary>
    public static void AddPage(this IServiceCollection services)
    {
        services.AddPageCompression().AddScoped<HtmlRenderer>().AddSingleton<IComponentActivator, PlainActivator>().AddSingleton<ReadingGate>().AddSingleton<Listeners>().AddSingleton<OpeningDesk>();
        services.TryAddSingleton(new PageDoor());
        services.TryAddSingleton<ClientPace>();
        services.AddSingleton<PageAccess>().AddSingleton<PageGuard>();
        services.Configure<KestrelServerOptions>(PageListening.Bound);
        services.Configure<SocketTransportOptions>(o => o.CreateBoundListenSocket = PageListening.Bound);
    }

    /// <summary>Guards every answer and maps the pages, what they are made with, the interface and the health check.</summary>
    public static void MapPage(this WebApplication app)
    {
        app.UseResponseCompression();
        app.Use(AskedForItsHead);
        app.UseRouting();
        var guard = app.Services.GetRequiredService<PageGuard>();
        app.Use((http, next) => guard.Check(http, () => next(http)));
        app.MapGet("/", Front);
        app.MapGet("/stations/{name}", One);
        PageAssets.Map(app);
        app.MapGet("/healthz", Health);
        app.MapGet("/metrics", (TellMetrics tell) => Results.Text(tell(), MetricsText.MediaType));
        app.MapGet("/api/v1/stations/{name}", (string name, StationBoard board) =>
            board.Find(name) is { } posted ? Results.Json(posted, StationJson.Default.Posted) : PageProblem.NoStation(name));
        app.MapPost("/api/v1/stations/{name}/close", Close);
        app.MapPost("/api/v1/stations/{name}/cautions/dismiss", Dismiss);
        AlarmRoutes.Map(app);
        SignInRoutes.Map(app);
        HistoryRoutes.Map(app);
        JournalRoutes.Map(app);
        ArrivalRoutes.Map(app);
        PlanRoutes.Map(app);
        LiveRoutes.Map(app);
        OpeningRoutes.Map(app);
        SwingRoutes.Map(app);
        DidRoutes.Map(app);
    }

    /// <summary>HEAD asks for what GET would answer, without its content (RFC 9110, 9.3.2), which the server leaves out by itself. A stream has no end to wait for.</summary>
    private static Task AskedForItsHead(HttpContext http, RequestDelegate next)
    {
        if (HttpMethods.IsHead(http.Request.Method) && !LiveRoutes.IsStream(http.Request.Path))
        {
            http.Request.Method = HttpMethods.Get;
        }

        return next(http);
    }

    private static Task<IResult> Front(StationBoard board, HttpContext http) => board.All() switch
    {
        [] => Nothing(http, StatusCodes.Status200OK, null),
        [var only] when !board.Awaited.Any() => Station(only, http, answer: null),
        var all => PageRender.Show<StationsPage>(
            http, StatusCodes.Status200OK, (nameof(StationsPage.Visit), PageVisit.Of(http)),
            (nameof(StationsPage.Stations), all.Select(p => new Told(p)).ToList()), (nameof(StationsPage.Awaited), board.Awaited.ToList()), (nameof(StationsPage.Shape), Told.ShapeOf(all)), (nameof(StationsPage.Still), http.Request.Query.ContainsKey("still"))),
    };

    private static Task<IResult> One(string name, StationBoard board, HttpContext http) => board.Find(name) is { } posted
        ? Station(posted, http, answer: null)
        : board.IsAwaited(name) ? Nothing(http, StatusCodes.Status503ServiceUnavailable, board.Count == 0 ? null : StationBoard.NotYet(name)) // it may yet be there
        : Nothing(http, StatusCodes.Status404NotFound, $"There is no station {name}.");

    // Not tied to the request: a browser that hangs up must not call the closing off.
    private static async Task<IResult> Close(
        string name, StationBoard board, CloseValve close, HttpContext http, IHostApplicationLifetime life, ILogger<CloseValve> log)
    {
        if (board.Find(name) is null && !board.Awaited.Contains(name)) return PageProblem.NoStation(name);
        try
        {
            var answer = await close(name, "page", life.ApplicationStopping);
            return await Answered(name, answer.Obeyed ? StatusCodes.Status200OK : StatusCodes.Status503ServiceUnavailable, answer.Text, board, http);
        }
        catch (Exception e)
        {
            log.LogCritical(e, "Closing {Station} failed", Plain.Line(name));
            return await Answered(name, StatusCodes.Status500InternalServerError, "The program could not close the valve. Pull the valve's plug or pinch the hose now.", board, http);
        }
    }

    /// <summary>On the station's page for a person; for a program what was done, or as a problem what was not.</summary>
    internal static Task<IResult> Answered(string name, int status, string answer, StationBoard board, HttpContext http, IReadOnlyDictionary<string, string>? kept = null)
    {
        if (PageRender.WantsPage(http) && board.Find(name) is { } posted)
        {
            http.Response.StatusCode = status;
            return Station(posted, http, answer, kept);
        }

        return Task.FromResult(status == StatusCodes.Status200OK ? Results.Json(new Answer(name, answer), StationJson.Default.Answer) : PageRefused.Problem(status, "Not done", answer));
    }

    private static async Task<IResult> Dismiss(string name, StationBoard board, DismissCautions dismiss, HttpContext http)
    {
        if (board.Find(name) is not { } posted) return PageProblem.NoStation(name);
        dismiss(name);
        const string answer = "The cautions are put away; README.md has them all.";
        return PageRender.WantsPage(http)
            ? await Station(posted with { View = posted.View with { CautionsShown = false } }, http, answer)
            : Results.Json(new Answer(name, answer), StationJson.Default.Answer);
    }

    internal static Task<IResult> Station(Posted posted, HttpContext http, string? answer, IReadOnlyDictionary<string, string>? kept = null)
    {
        return PageRender.Show<StatusPage>(
            http, http.Response.StatusCode,
            (nameof(StatusPage.Visit), PageVisit.Of(http, posted.View) with { Answer = answer, Kept = kept ?? new Dictionary<string, string>() }),
            (nameof(StatusPage.Told), new Told(posted)),
            (nameof(StatusPage.Refused), http.RequestServices.GetRequiredService<PageRefusals>().Sentence),
            (nameof(StatusPage.Log), http.RequestServices.GetRequiredService<TellLog>()()),
            (nameof(StatusPage.Still), kept is not null || http.Request.Query.ContainsKey("still")));
    }

    private static Task<IResult> Nothing(HttpContext http, int status, string? sentence)
    {
        if (status != StatusCodes.Status404NotFound) http.Response.Headers["Refresh"] = "2";
        var visit = (nameof(NoStationPage.Visit), (object?)PageVisit.Of(http));
        return sentence is null
            ? PageRender.Show<NoStationPage>(http, status, visit)
            : PageRender.Show<NoStationPage>(http, status, visit, (nameof(NoStationPage.Sentence), sentence));
    }

    private static IResult Health(StationBoard board) => board.All() switch
    {
        var all when all.Count == 0 || board.Awaited.Any() => Results.Text("starting\n", statusCode: StatusCodes.Status503ServiceUnavailable),
        var all when all.Any(p => p.IsSilent) => Results.Text("silent\n", statusCode: StatusCodes.Status503ServiceUnavailable),
        _ => Results.Text("ok\n"),
    };
}
