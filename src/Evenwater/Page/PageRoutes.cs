using System.Net.Mime;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Web;
using Microsoft.AspNetCore.Server.Kestrel.Core;

namespace Evenwater.Page;

/// <summary>Composes the page: what it needs and where it answers.</summary>
public static class PageRoutes
{
    private const int BufferBytes = 60 * 1024;
    private const string Utf8Html = MediaTypeNames.Text.Html + "; charset=utf-8";

    /// <summary>
    /// Registers the page. The program must also register a <see cref="StationBoard"/>, its <see cref="CloseValve"/>,
    /// its <see cref="AskAlarm"/>, its <see cref="TellMetrics"/>, its <see cref="TellLog"/>, its <see cref="DismissCautions"/>, <see cref="PageRefusals"/> and a <see cref="TimeProvider"/>.
    /// </summary>
    public static void AddPage(this IServiceCollection services)
    {
        services.AddScoped<HtmlRenderer>().AddSingleton<IComponentActivator, PlainActivator>();
        services.Configure<KestrelServerOptions>(o =>
        {
            o.AddServerHeader = false;
            o.Limits.MaxRequestBodySize = 16 * 1024;
            o.Limits.MaxConcurrentConnections = 32;
            o.Limits.RequestHeadersTimeout = TimeSpan.FromSeconds(10);
            o.Limits.KeepAliveTimeout = TimeSpan.FromSeconds(30);
        });
    }

    /// <summary>Guards every answer and maps the page, its two style sheets, the interface and the health check.</summary>
    public static void MapPage(this WebApplication app)
    {
        var refusals = app.Services.GetRequiredService<PageRefusals>();
        app.Use((http, next) => PageGuard.Check(http, refusals, () => next(http)));
        app.MapGet("/", Front);
        app.MapGet("/stations/{name}", One);
        app.MapGet("/page.css", () => Asset("page.css", "text/css"));
        app.MapGet("/picture.css", () => Asset("picture.css", "text/css"));
        app.MapGet("/icon.svg", () => Asset("icon.svg", "image/svg+xml"));
        app.MapGet("/healthz", Health);
        app.MapGet("/metrics", (TellMetrics tell) => Results.Text(tell(), MetricsText.MediaType));
        app.MapGet("/api/v1/stations/{name}", (string name, StationBoard board) =>
            board.Find(name) is { } posted ? Results.Json(posted, StationJson.Default.Posted) : Unknown(name));
        app.MapPost("/api/v1/stations/{name}/close", Close);
        app.MapPost("/api/v1/stations/{name}/cautions/dismiss", Dismiss);
        AlarmRoutes.Map(app);
    }

    private static Task<IResult> Front(StationBoard board, HtmlRenderer html, HttpContext http) => board.All() is [var first, ..]
        ? Station(first, board, html, http, answer: null)
        : Nothing(html, http, StatusCodes.Status200OK, null);

    private static Task<IResult> One(string name, StationBoard board, HtmlRenderer html, HttpContext http) => board.Find(name) is { } posted
        ? Station(posted, board, html, http, answer: null)
        : Nothing(html, http, StatusCodes.Status404NotFound, $"There is no station {name}.");

    // Not tied to the request: a browser that hangs up must not call the closing off.
    private static async Task<IResult> Close(
        string name, StationBoard board, CloseValve close, HtmlRenderer html, HttpContext http, IHostApplicationLifetime life, ILogger<CloseValve> log)
    {
        if (board.Find(name) is null) return Unknown(name);
        string answer;
        try
        {
            answer = await close(name, "page", life.ApplicationStopping);
        }
        catch (Exception e)
        {
            log.LogCritical(e, "Closing {Station} failed", Plain.Line(name));
            answer = "The program could not close the valve. Pull the valve's plug or pinch the hose now.";
            http.Response.StatusCode = StatusCodes.Status500InternalServerError;
        }

        var status = http.Response.StatusCode;
        return WantsPage(http) && board.Find(name) is { } posted
            ? await Station(posted, board, html, http, answer)
            : Results.Json(new Answer(name, answer), StationJson.Default.Answer, statusCode: status);
    }

    private static async Task<IResult> Dismiss(string name, StationBoard board, DismissCautions dismiss, HtmlRenderer html, HttpContext http)
    {
        if (board.Find(name) is not { } posted) return Unknown(name);
        dismiss(name);
        const string answer = "The cautions are put away; README.md has them all.";
        return WantsPage(http)
            ? await Station(posted with { View = posted.View with { CautionsShown = false } }, board, html, http, answer)
            : Results.Json(new Answer(name, answer), StationJson.Default.Answer);
    }

    /// <summary>Whether a person's browser asks, not a program.</summary>
    internal static bool WantsPage(HttpContext http) => http.Request.Headers.Accept.ToString().Contains(MediaTypeNames.Text.Html, StringComparison.Ordinal);

    internal static Task<IResult> Station(Posted posted, StationBoard board, HtmlRenderer html, HttpContext http, string? answer)
    {
        var still = http.Request.Query.ContainsKey("still");
        // A header and not a meta element, so that "hold it still" needs no second page.
        if (!still) http.Response.Headers["Refresh"] = $"{StatusPage.RefreshSeconds}; url=/stations/{Uri.EscapeDataString(posted.View.Name)}";
        return Render<StatusPage>(html, http, http.Response.StatusCode, new Dictionary<string, object?>
        {
            [nameof(StatusPage.View)] = posted.View,
            [nameof(StatusPage.SilentSeconds)] = posted.SilentSeconds,
            [nameof(StatusPage.Others)] = board.All().Select(p => p.View.Name).Where(n => n != posted.View.Name).Order(StringComparer.Ordinal).ToList(),
            [nameof(StatusPage.Answer)] = answer,
            [nameof(StatusPage.Refused)] = http.RequestServices.GetRequiredService<PageRefusals>().Sentence,
            [nameof(StatusPage.Log)] = http.RequestServices.GetRequiredService<TellLog>()(),
            [nameof(StatusPage.Still)] = still,
        });
    }

    private static Task<IResult> Nothing(HtmlRenderer html, HttpContext http, int status, string? sentence)
    {
        if (status == StatusCodes.Status200OK) http.Response.Headers["Refresh"] = "2";
        return Render<NoStationPage>(html, http, status, sentence is null ? [] : new Dictionary<string, object?> { [nameof(NoStationPage.Sentence)] = sentence });
    }

    // Written as bytes into one small buffer: as a string a page would be a large object of the heap every time.
    private static Task<IResult> Render<TPage>(HtmlRenderer html, HttpContext http, int status, Dictionary<string, object?> parameters)
        where TPage : IComponent => html.Dispatcher.InvokeAsync(async () =>
        {
            var page = await html.RenderComponentAsync<TPage>(ParameterView.FromDictionary(parameters));
            var bytes = new MemoryStream(BufferBytes);
            await using (var writer = new StreamWriter(bytes, leaveOpen: true)) page.WriteHtmlTo(writer);
            http.Response.StatusCode = status;
            return Results.Bytes(bytes.GetBuffer().AsMemory(0, (int)bytes.Length), Utf8Html);
        });

    private static IResult Health(StationBoard board) => board.All() switch
    {
        [] => Results.Text("starting\n", statusCode: StatusCodes.Status503ServiceUnavailable),
        var all when all.Any(p => p.IsSilent) => Results.Text("silent\n", statusCode: StatusCodes.Status503ServiceUnavailable),
        _ => Results.Text("ok\n"),
    };

    internal static IResult Unknown(string name) =>
        Results.Problem(title: "No such station", detail: $"There is no station {Plain.Line(name)}.", statusCode: StatusCodes.Status404NotFound);

    private static IResult Asset(string name, string type) =>
        Results.Stream(typeof(PageRoutes).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"{name} is not embedded"), type);
}
