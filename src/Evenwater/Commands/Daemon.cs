using System.Runtime.InteropServices;
using Evenwater.Calibrating;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Page;
using Evenwater.Page.Opening;
using Evenwater.Page.Access;
using Evenwater.Page.Charts;
using Evenwater.Page.Journal;
using Evenwater.Page.Planning;
using Evenwater.Photographs;
using Evenwater.Page.Looking;
using Evenwater.Running;
using Evenwater.Terminal;
using Evenwater.Watch;
using Microsoft.AspNetCore.Connections;

namespace Evenwater.Commands;

/// <summary>What one start of the daemon serves.</summary>
internal sealed record Serving(
    IReadOnlyList<Station> Stations, double Speed, bool Demo, FollowerPlan Followers, PageDoor? Page, StoreOptions Store, string State);

/// <summary>Composes the daemon: stations, followers, socket, page, watch. This is the one place where all of it meets.</summary>
internal static class Daemon
{
    public static string Version { get; } = typeof(Daemon).Assembly.GetName().Version!.ToString(3);

    public static async Task RunAsync(Serving serving, NightLog log, CancellationToken stop)
    {
        if (serving.Page is { } page && PageListening.IsTaken(page))
        {
            throw Taken(page); // before a boot is in the log, a station runs, and the host says it in forty lines
        }

        var simulated = serving.Stations.All(s => s.Sensors.Source == SensorSource.Simulated);
        var boot = log.StartBoot(Version, simulated);
        await using var broker = serving.Followers.EmbeddedBroker ? await EmbeddedBroker.StartAsync() : null;
        await using var app = Build(serving, log, new RunPlan(serving.Stations, serving.Speed, serving.Demo, boot));
        LeftBehind.Write(serving.Stations, serving.Followers.EmbeddedBroker ? null : serving.Followers.Mqtt, serving.State, app.Services.GetRequiredService<ILogger<SystemdWatch>>());
        try
        {
            await app.StartAsync(stop);
        }
        catch (IOException e) when (e.InnerException is AddressInUseException)
        {
            throw Taken(serving.Page!, e);
        }

        // The host takes Ctrl-C and SIGTERM for a stop; a window or a connection that is closed would end the program on the spot.
        using var hangup = PosixSignalRegistration.Create(PosixSignal.SIGHUP, signal =>
        {
            signal.Cancel = true;
            app.Lifetime.StopApplication();
        });
        Announce(serving, broker is not null);
        using var view = CancellationTokenSource.CreateLinkedTokenSource(app.Lifetime.ApplicationStopping);
        var showing = TerminalView.ShowAsync(app.Services.GetRequiredService<StationBoard>(), view.Token);
        await app.WaitForShutdownAsync(stop);
        await view.CancelAsync();
        try
        {
            await showing;
        }
        catch (IOException)
        {
            // The terminal is gone; that it can not be drawn on is no failure of the service.
        }

        if (app.Services.GetServices<IHostedService>().OfType<BackgroundService>().Any(s => s.ExecuteTask is { IsFaulted: true }))
        {
            // The host stops then, but by itself it ends with 0.
            Environment.ExitCode = Exit.Bad;
        }
    }

    private static IOException Taken(PageDoor page, Exception? inner = null) => new(
        $"the page can not listen on {string.Join(", ", page.Addresses)}, port {page.Port}: the port is taken. `ss -ltnp 'sport = :{page.Port}'` names the holder; choose another by page.port.", inner);

    /// <summary>How the program tells its operator: one line each, on standard error.</summary>
    public static void Logging(ILoggingBuilder logging)
    {
        logging.AddSimpleConsole(o => o.SingleLine = true)
            .SetMinimumLevel(Console.IsErrorRedirected ? LogLevel.Information : LogLevel.Warning)
            .AddFilter("Microsoft", LogLevel.Warning);
        logging.Services.Configure<Microsoft.Extensions.Logging.Console.ConsoleLoggerOptions>(o => o.LogToStandardErrorThreshold = LogLevel.Trace);
    }

    private static WebApplication Build(Serving serving, NightLog log, RunPlan plan)
    {
        // Empty: nothing but the program's own file configures it, no appsettings.json, no stray environment variables.
        var builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory });
        Logging(builder.Logging);
        builder.Services.Configure<HostOptions>(o => o.ShutdownTimeout = TimeSpan.FromSeconds(5));
        builder.WebHost.UseKestrelCore().ConfigureKestrel(o =>
        {
            if (serving.Page is { } door)
            {
                PageListening.Listen(o, door);
            }
            else
            {
                o.ListenUnixSocket(Path.Combine(serving.State, "page.sock"));
            }
        });
        if (serving.Page is { Certificate: not null })
        {
            builder.WebHost.UseKestrelHttpsConfiguration();
        }

        string[] names = [.. serving.Stations.Select(s => s.Name)];
        builder.Services.AddSingleton(serving.Page ?? new PageDoor()).AddSingleton(TimeProvider.System).AddSingleton(log).AddSingleton(plan).AddSingleton(serving.Followers)
            .AddSingleton<Heartbeat>().AddSingleton(new StationBoard(TimeProvider.System) { Expected = names }).AddSingleton(new StationDirectory { Expected = names });
        builder.Services.AddSingleton<CloseValve>(services => (station, by, stop) =>
            SeenAnswer.Of(services, station, services.GetRequiredService<StationDirectory>().AskAsync(station, new Asking(Verb.Close, by), stop)));
        builder.Services.AddSingleton<AskAlarm>(services => async (station, act, _) =>
        {
            var answer = await SeenAnswer.Of(services, station, services.GetRequiredService<StationDirectory>().ObeyAsync(new ControlAsk(act.Verb, station, Note: act.Reason, Alarm: act.Alarm, Seconds: act.Seconds), "page"));
            return new AlarmAnswer(answer.Ok, answer.Text);
        });
        builder.Services.AddSingleton(new PhotographFolder(serving.State)).AddSingleton(_ => new Darkroom(Darkroom.OwnProgram));
        builder.Services.AddSingleton<TellBudget>(services => services.GetRequiredService<StationDirectory>().Budget);
        builder.Services.AddSingleton<AskOpening>(services => (station, confirmed, stop) => SeenAnswer.Of(services, station, services.GetRequiredService<StationDirectory>().AskAsync(
            station,
            confirmed.Verb == "open"
                ? new Asking(Verb.Begin, "page", confirmed.Measured.Known(confirmed.Attended)) { Signed = confirmed.Budget }
                : new Asking(Verb.Reset, "page"),
            stop)));
        builder.Services.AddSingleton<CalibrationDesk>().AddSingleton(services =>
            new NoteDesk(log, services.GetRequiredService<StationDirectory>())
            {
                Calibrated = services.GetRequiredService<CalibrationDesk>().Apply, Photographs = services.GetRequiredService<PhotographFolder>(),
            });
        builder.Services.AddSingleton<TellStation>(services => services.GetRequiredService<CalibrationDesk>().Tell).AddSingleton(services => new JournalDesk(
            station => Books.Of(log.Reader, station), async (station, note) => Written(await services.GetRequiredService<NoteDesk>().WriteAsync(station, note)),
            services.GetRequiredService<PhotographFolder>(), services.GetRequiredService<Darkroom>(), TimeZoneInfo.Local));
        builder.Services.AddSingleton<LogDesk>().AddSingleton<TellMetrics>(services => () => Metrics.Text(
            services.GetRequiredService<StationDirectory>().Scraped(services.GetRequiredService<StationBoard>()),
            services.GetRequiredService<LogDesk>().Figures(), Version, Environment.WorkingSet));
        builder.Services.AddSingleton<TellLog>(services => () => services.GetRequiredService<LogDesk>().Figures() is { } figures ? LogText.Of(figures) : null);
        builder.Services.AddSingleton(new HistoryReading(serving.State)).AddSingleton(ChartLibrary.Built);
        builder.Services.AddSingleton(new LogPlace(serving.State));
        builder.Services.AddSingleton<DismissCautions>(services => services.GetRequiredService<StationDirectory>().DismissCautions);
        builder.Services.AddSingleton(services => new PageRefusals(
            why => services.GetRequiredService<StationDirectory>().NoteAll("page-refused", why), services.GetRequiredService<TimeProvider>()));
        builder.Services.AddHostedService<StationWorker>().AddHostedService<SystemdWatch>().AddHostedService<FollowerWorker>().AddHostedService<DueLooks>().AddHostedService<LogExamination>()
            .AddHostedService(services => new ControlSocket(
                Places.Socket(serving.State), ask => ObeyAsync(ask, services),
                why => services.GetRequiredService<StationDirectory>().NoteAll("command-refused", why), new AskLimit(TimeProvider.System),
                services.GetRequiredService<ILogger<ControlSocket>>()));
        builder.Services.AddRoutingCore().AddPage();
        var app = builder.Build();
        app.MapPage();
        return app;
    }

    private static Written Written(ControlAnswer answer) => new(answer.Ok, answer.Text, answer.NoteId, answer.Problems);

    /// <summary>The status tells of the page as well; the log is no station's, and a note is no station's turn.</summary>
    private static async Task<ControlAnswer> ObeyAsync(ControlAsk ask, IServiceProvider services)
    {
        if (ask.Verb == "note")
        {
            return await services.GetRequiredService<NoteDesk>().WriteAsync(ask.Station, ask.Written);
        }

        if (ask.Verb == "log")
        {
            return services.GetRequiredService<LogDesk>().Figures() is { } figures
                ? new ControlAnswer(figures.Commits == true, LogText.Of(figures)) { Log = figures }
                : new ControlAnswer(false, "The log's file can not be read.");
        }

        var answer = await services.GetRequiredService<StationDirectory>().ObeyAsync(ask);
        if (ask.Verb is "status" or "alarms")
        {
            answer = SilentStations.Before(answer, services.GetRequiredService<StationBoard>(), ask.Station is null ? null : services.GetRequiredService<StationDirectory>().Find(ask.Station)?.State.Station.Name ?? ask.Station);
        }

        if (ask.Verb == "phase" && services.GetRequiredService<StationDirectory>().Find(ask.Station)?.State.Station.Name is { } name)
        {
            return answer with { Served = ServedFile.Of(services.GetRequiredService<RunPlan>().Stations.First(s => s.Name == name)) };
        }

        return ask.Verb == "status" && services.GetRequiredService<PageRefusals>().Sentence is { } refused ? answer with { Text = $"{answer.Text}\n{refused}" } : answer;
    }

    private static void Announce(Serving serving, bool broker)
    {
        if (serving.Demo)
        {
            Console.WriteLine($"SIMULATED demo station at {serving.Speed:0} times life: no water is flowing anywhere.");
        }

        if (serving.Page is { } door)
        {
            Console.WriteLine($"The page: {door.Address}");
            foreach (var doubt in door.Doubts(TimeProvider.System.GetUtcNow()))
            {
                Console.WriteLine($"  page.certificateFile: {doubt}");
            }

        }

        if (broker)
        {
            Console.WriteLine($"MQTT:     127.0.0.1:{EmbeddedBroker.DefaultPort}, topics under evenwater/v1/");
        }

        Console.WriteLine("Not a safety device. Stop with Ctrl-C: the valve is closed then.");
    }
}
