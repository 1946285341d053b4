using System.Diagnostics;
using Evenwater.Page.Access;
using Evenwater.Commands;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Page;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Latency;

/// <summary>Many live stations in one process, with log, page, a real broker and followers as the daemon has them, all in real time.</summary>
internal sealed class LiveTrips
{
    public Latencies Raw { get; } = new();

    public Latencies Debounced { get; } = new();

    public int Others { get; private set; }

    public int Leaks { get; private set; }

    /// <summary>How long it took, s.</summary>
    public double Seconds { get; private set; }

    /// <summary>Pages that were served, requests that were refused, and messages that the broker took.</summary>
    public (long Pages, long Refused, long Messages) Flooded { get; private set; }

    /// <summary>Trips until there are so many.</summary>
    /// <param name="stations">How many stations, 1 to 32: the most that a configuration may name.</param>
    /// <param name="seed">Of the rigs and of the moments at which the floats turn wet.</param>
    /// <param name="flood">Whether page and broker are flooded.</param>
    public async Task RunAsync(int trips, int stations, int seed, bool flood)
    {
        var started = Stopwatch.StartNew();
        using var folder = new LogFolder();
        using var log = folder.Open(new LogPace());
        using var broker = new Mosquitto();
        await broker.StartAsync();
        await using var page = await ServedPage.StartAsync(new PageDoor { Port = 0 }, new ClientPace(TimeProvider.System)); // as it is in life: a flood is refused
        var river = DemoStation.Read();
        var plans = Enumerable.Range(1, stations).Select(i => river with { Name = $"sim-latency-{i}" }).ToList();
        var directory = new StationDirectory();
        var (runs, boot) = (new RunNumbers(0), log.StartBoot("latency", simulated: true));
        var all = plans.Select((s, i) => new TrippedStation(s, seed + i, log, runs, boot, directory, page.Board.Post)).ToList();
        using var notes = new Evenwater.Keeping.NoteDesk(log, directory);
        using var followers = new FollowerWorker(
            new FollowerPlan(new MqttOptions { Port = broker.Port }, null, EmbeddedBroker: false), new RunPlan(plans, 1, false, boot), log, directory, page.Board, notes,
            TimeProvider.System, NullLogger<FollowerWorker>.Instance);
        await followers.StartAsync(CancellationToken.None);
        using var stop = new CancellationTokenSource();
        var water = MoveAsync(all, stop.Token);
        using var floods = flood ? new Floods(page.Address, broker.Port, [.. plans.Select(p => p.Name)]) : null;
        try
        {
            await Task.WhenAll(all.Select(s => Task.Run(() => s.RunAsync(Raw, Debounced, () => Raw.Count >= trips))));
        }
        finally
        {
            if (floods is not null)
            {
                Flooded = (floods.Pages, floods.Refused, await floods.MessagesAsync());
                floods.Dispose();
            }

            await stop.CancelAsync();
            await water;
            all.ForEach(s => s.Dispose());
            (Others, Leaks) = (all.Sum(s => s.Others), all.Sum(s => s.Leaks));
            await followers.StopAsync(CancellationToken.None);
        }

        Seconds = started.Elapsed.TotalSeconds;
    }

    private static async Task MoveAsync(IReadOnlyList<TrippedStation> stations, CancellationToken stop)
    {
        while (!stop.IsCancellationRequested)
        {
            foreach (var station in stations)
            {
                station.Advance();
            }

            await Task.Delay(100, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }
}
