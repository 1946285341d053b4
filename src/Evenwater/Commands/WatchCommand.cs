using System.CommandLine;
using Evenwater.Options;
using Evenwater.Running;
using Evenwater.Watch;

namespace Evenwater.Commands;

/// <summary>evenwater watch: a second, small process elsewhere that tells when the daemon is silent.</summary>
internal static class WatchCommand
{
    public static Command Create()
    {
        var config = new Option<string>("--config") { Description = "the watcher's own file (config/watch.example.json shows every key)", Required = true };
        var command = new Command("watch", "On another computer: tell when the daemon or the broker is silent. Closes nothing.") { config };
        command.SetAction(async (parse, stop) =>
        {
            try
            {
                return await RunAsync(parse.GetValue(config)!, stop);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                return Exit.Tell(false, $"Can not watch: {e.Message}");
            }
        });
        return command;
    }

    private static async Task<int> RunAsync(string path, CancellationToken stop)
    {
        _ = SmallHeap.Ask();
        var (configuration, problems) = WatchFile.Read(path);
        if (configuration is null || problems.Count > 0)
        {
            return Exit.Wrong(path, problems);
        }

        using var loggers = LoggerFactory.Create(Daemon.Logging);
        var logger = loggers.CreateLogger<Watcher>();
        Console.WriteLine(
            $"Watching {string.Join(", ", configuration.Stations.Select(s => s == "+" ? "every station" : s))} at {configuration.Mqtt.Host}:{configuration.Mqtt.Port}: "
            + $"silent after {configuration.SilentMinutes:0.#} min. Not a safety device; it closes nothing. Stop with Ctrl-C.");
        await new Watcher(
            MainFile.Broker(configuration.Mqtt), configuration.Stations, TimeSpan.FromMinutes(configuration.SilentMinutes), new Bell(configuration.Ring, logger), TimeProvider.System, logger).RunAsync(stop);
        return Exit.Fine;
    }
}
