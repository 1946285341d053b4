using Evenwater.Page;
using Evenwater.Page.Opening;
using Evenwater.Running;
using Evenwater.Page.Access;
using Evenwater.Core.Keeping;
using Evenwater.Page.Charts;
using Evenwater.Page.Journal;
using Evenwater.Page.Looking;
using Evenwater.Photographs;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace Evenwater.Tests.Page;

/// <summary>The page behind a real server on a free port of the loopback.</summary>
internal sealed class ServedPage : IAsyncDisposable
{
    private readonly WebApplication _app;

    private ServedPage(WebApplication app)
    {
        _app = app;
        Address = new Uri(app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First());
        Client = new HttpClient(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = Address };
    }

    public Uri Address { get; }

    public HttpClient Client { get; }

    public SteppedTime Time { get; private init; } = new();

    public StationBoard Board => _app.Services.GetRequiredService<StationBoard>();

    /// <summary>Every address that is answered, as "GET /api/v1/...".</summary>
    public IReadOnlyList<string> Routes =>
    [
        .. _app.Services.GetRequiredService<Microsoft.AspNetCore.Routing.EndpointDataSource>().Endpoints.OfType<Microsoft.AspNetCore.Routing.RouteEndpoint>()
            .SelectMany(e => e.Metadata.OfType<Microsoft.AspNetCore.Routing.HttpMethodMetadata>().SelectMany(m => m.HttpMethods).Select(m => $"{m} {e.RoutePattern.RawText}")),
    ];

    public List<string> Closed { get; private init; } = [];

    public List<(string Station, AlarmAct Act)> Asked { get; private init; } = [];

    public List<string> Dismissed { get; private init; } = [];

    /// <summary>What was opened or reset.</summary>
    public List<(string Station, Confirmed What)> Confirmed { get; private init; } = [];

    /// <summary>What was kept of refused requests.</summary>
    public List<string> Refused { get; private init; } = [];

    /// <summary>What a page's form carries where nobody is signed in.</summary>
    public string Token => _app.Services.GetRequiredService<PageAccess>().TokenOf(new DefaultHttpContext()).Masked();

    /// <summary>Posts a form as a page of ours does.</summary>
    public async Task<HttpResponseMessage> PostFormAsync(string path, params IEnumerable<(string Field, string Value)> fields)
    {
        using var form = new FormUrlEncodedContent(fields.Append((PageToken.Field, Token)).Select(f => KeyValuePair.Create(f.Item1, f.Item2)));
        return await Client.PostAsync(new Uri(path, UriKind.Relative), form);
    }

    public PageRefusals Refusals => _app.Services.GetRequiredService<PageRefusals>();

    /// <summary>As it is without any configuration.</summary>
    public static Task<ServedPage> StartAsync(params IEnumerable<StationView> views) => StartAsync(null, ChartLibrary.Built, views);

    /// <summary>On this port, such as that of one that has ended.</summary>
    public static Task<ServedPage> StartAsync(int port, params IEnumerable<StationView> views) =>
        StartAsync(new PageDoor { Port = port }, new ClientPace(new UnhurriedTime()), null, ChartLibrary.Built, views);

    /// <summary>With a log behind it.</summary>
    /// <param name="log">The log's folder; null for none.</param>
    /// <param name="library">Whether charts are drawn in the browser.</param>
    /// <param name="views">The stations.</param>
    public static Task<ServedPage> StartAsync(string? log, ChartLibrary library, params IEnumerable<StationView> views) =>
        StartAsync(new PageDoor { Port = 0 }, new ClientPace(new UnhurriedTime()), log, library, views);

    /// <summary>Behind a door.</summary>
    /// <param name="door">Its port is 0: any that is free.</param>
    /// <param name="pace">How often one client may ask; null: by the page's own clock.</param>
    /// <param name="views">The stations.</param>
    public static Task<ServedPage> StartAsync(PageDoor door, ClientPace? pace, params IEnumerable<StationView> views) => StartAsync(door, pace, null, ChartLibrary.Built, views);

    private static async Task<ServedPage> StartAsync(PageDoor door, ClientPace? pace, string? log, ChartLibrary library, IEnumerable<StationView> views)
    {
        var time = new SteppedTime();
        var closed = new List<string>();
        var asked = new List<(string, AlarmAct)>();
        var dismissed = new List<string>();
        var confirmed = new List<(string, Confirmed)>();
        var refused = new List<string>();
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.ConfigureKestrel(k => PageListening.Listen(k, door)).UseKestrelHttpsConfiguration();
        builder.Services.AddSingleton(door).AddSingleton(pace ?? new ClientPace(time));
        builder.Services.AddSingleton<TimeProvider>(time);
        builder.Services.AddSingleton<StationBoard>();
        builder.Services.AddSingleton<CloseValve>((station, by, _) =>
        {
            closed.Add($"{station} by {by}");
            if (station == "broken") throw new InvalidOperationException("the line does not answer");
            return Task.FromResult(station == "stuck" ? new Evenwater.Running.Answer(false, "stuck has not answered for 5 s.") : new Evenwater.Running.Answer(true, "Closed."));
        });
        builder.Services.AddSingleton<AskAlarm>((station, act, _) =>
        {
            if (act.Alarm == "breaks") throw new InvalidOperationException("the inside");
            asked.Add((station, act));
            return Task.FromResult(act.Seconds <= 8 * 3600 ? new AlarmAnswer(true, "Done as asked.") : new AlarmAnswer(false, "Refused: too long."));
        });
        builder.Services.AddSingleton<TellBudget>(station => station == "gone" ? null : new OpeningBudget(8400, 43_800));
        builder.Services.AddSingleton<AskOpening>((station, asked, _) =>
        {
            confirmed.Add((station, asked));
            return Task.FromResult(station == "forbidden" ? new Evenwater.Running.Answer(false, "Refused: a float is wet.") : new Evenwater.Running.Answer(true, $"{asked.Verb}: done."));
        });
        builder.Services.AddSingleton<DismissCautions>(dismissed.Add);
        builder.Services.AddSingleton<TellLog>(() => "12 MB, 3 MB free");
        builder.Services.AddSingleton<TellMetrics>(() => new MetricsText().ToString());
        builder.Services.AddSingleton(new PageRefusals(refused.Add, time));
        builder.Services.AddSingleton(_ => new JournalDesk(
            _ => Book.Of([]), (_, note) => Task.FromResult(note.Text == "sent twice" ? new Written(true, "It stands in the book already.", null, []) : new Written(false, "The log can not commit: its disk is full.", null, [])),
            new PhotographFolder(Path.GetTempPath()), new Darkroom(Darkroom.OwnProgram), TimeZoneInfo.Utc));
        builder.Services.AddSingleton(new LogPlace(log ?? Path.GetTempPath()));
        builder.Services.AddSingleton(new HistoryReading(log ?? Path.GetTempPath())).AddSingleton(library);
        builder.Services.AddPage();
        var app = builder.Build();
        app.MapPage();
        // Before anybody can ask: a page that waits for the new program would be told that it is starting.
        foreach (var view in views) app.Services.GetRequiredService<StationBoard>().Post(view);
        await app.StartAsync();
        return new ServedPage(app) { Time = time, Closed = closed, Asked = asked, Dismissed = dismissed, Confirmed = confirmed, Refused = refused };
    }

    /// <summary>As when the program is told to end.</summary>
    public Task StopAsync() => _app.StopAsync();

    public async ValueTask DisposeAsync()
    {
        Client.Dispose();
        await _app.DisposeAsync();
    }
}

/// <summary>A clock that moves when told.</summary>
internal sealed class SteppedTime : TimeProvider
{
    private long _milliseconds;

    public override long TimestampFrequency => 1000;

    public override long GetTimestamp() => _milliseconds;

    public void Pass(double seconds) => _milliseconds += (long)(seconds * 1000);
}

/// <summary>A clock that is a second later each time it is asked: by it nobody asks too often, however fast a computer the tests run on.</summary>
internal sealed class UnhurriedTime : TimeProvider
{
    private long _seconds;

    public override long TimestampFrequency => 1;

    public override long GetTimestamp() => Interlocked.Increment(ref _seconds);
}
