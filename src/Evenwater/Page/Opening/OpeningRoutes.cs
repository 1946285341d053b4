using Evenwater.Core.Telling;
using Evenwater.Followers;
using Evenwater.Page.Access;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Opening;

/// <summary>
/// Opening and resetting: POST challenge asks and changes nothing, POST open or reset confirms. For a browser the challenge is a page with a form, so it needs no script; for a
/// program it is JSON, and what it answers is sent back as it is.
/// </summary>
internal static class OpeningRoutes
{
    private const string Path = "/api/v1/stations/{name}/";

    public static void Map(WebApplication app)
    {
        app.MapGet("/stations/{name}/begin", (string name, StationBoard board, HttpContext http) => board.Find(name) switch
        {
            null => Task.FromResult(PageProblem.NoStation(name)),
            { IsSilent: false, View.Opens: Opens.Begin } posted => Begin(http, StatusCodes.Status200OK, PageVisit.Of(http, posted.View)),
            { } posted => PageRoutes.Station(posted, http, $"No run can begin just now: {WhyNot(posted)}"),
        });
        app.MapPost(Path + "challenge", Challenge);
        app.MapPost(Path + "open", (string name, HttpContext http) => Confirm(name, "open", http));
        app.MapPost(Path + "reset", (string name, HttpContext http) => Confirm(name, "reset", http));
    }

    private static string WhyNot(in Posted posted) => posted switch
    {
        { IsSilent: true } => "see below.",
        { View.Opens: Opens.GoOn } => "one is held. Go on with it below, or end it first by evenwater finish.",
        { View.Opens: Opens.Reset } => "it must be reset first, below, once the cause is gone.",
        _ => "one is going on.",
    };

    private static async Task<IResult> Challenge(string name, HttpContext http)
    {
        if (http.RequestServices.GetRequiredService<StationBoard>().Find(name) is not { } posted) return PageProblem.NoStation(name);
        var ask = await OpeningAsk.ReadAsync(http.Request);
        if (ask.Verb is not { } verb)
        {
            return await PageProblem.Fields(http, "No such question", [new FieldRefusal("verb", ask.Given, string.Join(" or ", ChallengeBook.Verbs))]);
        }

        if (ask.Unknown is { } unknown)
        {
            return await PageProblem.Fields(http, "No such question", [unknown]);
        }

        // What would be shown as of now is old.
        if (posted.IsSilent)
        {
            return await Refused(http, posted, StatusCodes.Status503ServiceUnavailable, $"Nothing was asked: {name} has not reported for {TimeWords.Age(posted.SilentSeconds)}. Go and look at the vessel, and whether the program and its computer still run.");
        }

        // A person is not asked what was true when their page was drawn. A program is, and is refused when it confirms.
        if (PageRender.WantsPage(http) && (posted.View.Opens == Opens.Nothing || (verb == "reset") != (posted.View.Opens == Opens.Reset)))
        {
            return await Refused(http, posted, StatusCodes.Status409Conflict, $"Nothing was asked: {name} stands otherwise by now ({posted.View.Phase}). What may be asked of it is shown below.");
        }

        var (measured, refused) = ask.Measured(Begins(posted, verb));
        if (refused.Count > 0)
        {
            return await PageProblem.Fields(http, "Nothing was asked", refused, status => Begin(http, status, PageVisit.Of(http, posted.View) with { Kept = ask.Fields, Refused = refused }));
        }

        var desk = http.RequestServices.GetRequiredService<OpeningDesk>();
        var (challenge, problem) = desk.Give(name, verb);
        if (challenge is null) return await Refused(http, posted, StatusCodes.Status503ServiceUnavailable, $"Nothing was asked: {problem}.");
        var question = Question.Of(challenge, desk.Sign(challenge, Shown(http, posted, verb, ask, measured)), ask.Attended, measured);
        return PageRender.WantsPage(http)
            ? await PageRender.Show<OpeningPage>(
                http, StatusCodes.Status200OK, (nameof(OpeningPage.Visit), PageVisit.Of(http, posted.View)), (nameof(OpeningPage.Question), question))
            : Results.Json(question, QuestionJson.Default.Question);
    }

    // Not tied to the request: what was confirmed is done, or refused, also when the browser has gone.
    private static async Task<IResult> Confirm(string name, string verb, HttpContext http)
    {
        var services = http.RequestServices;
        var board = services.GetRequiredService<StationBoard>();
        if (board.Find(name) is not { } posted) return PageProblem.NoStation(name);
        var ask = await OpeningAsk.ReadAsync(http.Request);
        var (measured, _) = ask.Measured(Begins(posted, verb));
        if (services.GetRequiredService<OpeningDesk>().Take(name, verb, ask.Signed, Shown(http, posted, verb, ask, measured)) is { } problem)
        {
            return await Refused(http, posted, StatusCodes.Status409Conflict, problem);
        }

        var signed = ask.Signed;
        var answer = await services.GetRequiredService<AskOpening>()(
            name, new Confirmed(verb, new(signed.Millilitres, signed.Seconds), ask.Attended) { Measured = measured }, services.GetRequiredService<IHostApplicationLifetime>().ApplicationStopping);
        posted = board.Find(name) ?? posted;
        return !answer.Obeyed ? await Refused(http, posted, StatusCodes.Status409Conflict, answer.Text)
            : PageRender.WantsPage(http) ? await PageRoutes.Station(posted, http, answer.Text)
            : Results.Json(new Answer(name, answer.Text), StationJson.Default.Answer);
    }

    // A run that is held goes on with what is known of it.
    private static Beginning? Begins(Posted posted, string verb) => IsNew(posted, verb) ? posted.View.Beginning : null;

    private static bool IsNew(Posted posted, string verb) => verb == "open" && posted.View.Opens == Opens.Begin;

    private static string Shown(HttpContext http, Posted posted, string verb, OpeningAsk ask, StartMeasured measured) => OpeningDesk.Shown(Visitor(http), ask.Attended, measured, IsNew(posted, verb));

    private static Task<IResult> Begin(HttpContext http, int status, PageVisit visit) => PageRender.Show<BeginPage>(http, status, (nameof(BeginPage.Visit), visit));

    private static Task<IResult> Refused(HttpContext http, Posted posted, int status, string why)
    {
        if (!PageRender.WantsPage(http)) return Task.FromResult(Results.Problem(title: "Not done", detail: why, statusCode: status));
        http.Response.StatusCode = status;
        return PageRoutes.Station(posted, http, why);
    }

    private static string Visitor(HttpContext http) => PageAccess.SessionOf(http)?.Key ?? "";
}
