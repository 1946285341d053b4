using System.CommandLine;
using Evenwater.Control;
using Evenwater.Core.Alarms;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Page.Access;
using Evenwater.Photographs;
using Evenwater.Running;

namespace Evenwater.Commands;

/// <summary>evenwater serve: the daemon, or without any configuration the demo.</summary>
internal static class ServeCommand
{
    /// <summary>Station seconds per second in the demo: a night in a quarter of an hour.</summary>
    private const double DemoSpeed = 60;

    /// <summary>So long a start waits for another command that has the state folder; less than the unit gives to a start (TimeoutStartSec=60).</summary>
    private static readonly TimeSpan LockPatience = TimeSpan.FromSeconds(45);

    public static Command Create()
    {
        var config = new Option<string?>("--config") { Description = "the configuration file; without any, the simulated demo station at 60 times life" };
        var command = new Command("serve", "Watch the stations: the daemon. Without a configuration, a simulated demo night.") { config };
        command.SetAction(async (parse, stop) =>
        {
            try
            {
                return await RunAsync(parse.GetValue(config), stop);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                // Not wrong use: a disk or a port may be free again at the next start.
                return Exit.Tell(false, $"Can not serve: {e.Message}");
            }
        });
        return command;
    }

    private static async Task<int> RunAsync(string? given, CancellationToken stop)
    {
        _ = SmallHeap.Ask();
        if (Places.Configuration(given) is { } path)
        {
            var reading = MainFile.Read(path);
            return reading is { Configuration: { } configuration, Problems.Count: 0 }
                ? await ServeAsync(new Serving(
                    reading.Stations, 1, false, MainFile.Followers(configuration), configuration.Page is { } page ? PageDoor.Of(page) : null,
                    configuration.Store, Places.MakeState(demo: false)), stop)
                : Exit.Wrong(path, reading.Problems);
        }

        if (!Places.DemoMayStart)
        {
            return Exit.Wrong(
                $"No configuration: give --config FILE, or put one at {Places.DefaultConfiguration}. Under systemd no demo is started, "
                + "so that a lost file never looks like a working station.");
        }

        var station = DemoStation.Read();
        return await ServeAsync(new Serving(
            [station], DemoSpeed, true, new FollowerPlan(new MqttOptions(), null, EmbeddedBroker: true), new PageDoor(),
            new StoreOptions(), Places.MakeState(demo: true)), stop);
    }

    /// <summary>Why a program with such alarms is not started, or null: an alarm without an act for its person is none.</summary>
    public static string? Refused(IReadOnlyList<Alarm> alarms) => AlarmRules.Problems(alarms) is { Count: > 0 } problems
        ? $"The table of alarms can not be used, and nothing is started: {string.Join(' ', problems)}"
        : null;

    private static async Task<int> ServeAsync(Serving serving, CancellationToken stop)
    {
        if (Refused(AlarmTable.All) is { } refused)
        {
            return Exit.Wrong(refused);
        }

        var (holder, isDaemon) = ("", false);
        using var held = await StateLock.WaitAsync(
            serving.State, LockPatience,
            async who =>
            {
                isDaemon = await ControlClient.AskAsync(Places.Socket(serving.State), new ControlAsk("status")) is not null;
                if (!isDaemon && holder != who)
                {
                    await Console.Error.WriteLineAsync($"{serving.State} is in use by {who}, which is no daemon that answers: waiting until it has ended.");
                }

                holder = who;
                return !isDaemon;
            },
            stop);
        if (held is null)
        {
            return isDaemon
                ? Exit.Wrong($"{serving.State} is in use by {holder}: another evenwater runs here. Stop it first, or give it another $STATE_DIRECTORY.")
                : Exit.Tell(false, $"Can not serve: {serving.State} is in use by {holder}, which does not answer. End it first, or give this one another $STATE_DIRECTORY."); // at the next start it may be free
        }

        if (serving.Demo)
        {
            Empty(serving.State);
            DemoPast.Write(serving.State, serving.Stations[0], SimulatedNights.LatestEvening(TimeProvider.System.GetLocalNow()), Daemon.Version);
        }

        using var loggers = LoggerFactory.Create(Daemon.Logging);
        try
        {
            var begunAnew = DamagedLog.SetAside(serving.State, TimeProvider.System.GetUtcNow());
            using var log = NightLog.Open(serving.State, pace: Pace(serving.Store), logger: loggers.CreateLogger<NightLog>(), begunAnew: begunAnew);
            await Daemon.RunAsync(serving, log, stop);
            return Environment.ExitCode;
        }
        catch (LogUnusableException e)
        {
            RefusedStarts.Keep(serving.State, e, TimeProvider.System.GetUtcNow());
            throw;
        }
    }

    private static LogPace Pace(StoreOptions store) => new()
    {
        Batch = TimeSpan.FromSeconds(store.BatchSeconds), BudgetBytes = (long)(store.BudgetMegabytes * 1e6), KeepReserve = true,
    };

    private static void Empty(string state)
    {
        foreach (var file in Directory.EnumerateFiles(state).Where(f => !Path.GetFileName(f).StartsWith("daemon.", StringComparison.Ordinal)))
        {
            File.Delete(file);
        }

        var photographs = Path.Combine(state, PhotographFolder.Name);
        if (Directory.Exists(photographs))
        {
            Directory.Delete(photographs, recursive: true);
        }
    }
}
