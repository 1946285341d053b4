using Evenwater.Followers;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Followers;

/// <summary>
/// Readings flow while a real server is killed, made to stand still and started again. A reading is one channel of one cycle; a cycle here has five.
/// EVENWATER_READINGS says how many flow (100,000), EVENWATER_ROUNDS how often each is done meanwhile (once).
/// </summary>
internal static class StoreFlow
{
    private const int ReadingsPerCycle = 5;
    private const int Portion = 250;

    private static readonly int s_cycles = Setting("EVENWATER_READINGS", 100_000) / ReadingsPerCycle;
    private static readonly int s_rounds = Setting("EVENWATER_ROUNDS", 1);

    /// <summary>As by default when it is done more than once. Once is quick: the readings are younger than this when the server is killed.</summary>
    private static readonly double s_settle = s_rounds == 1 ? 6 : new InfluxOptions { Url = "", Bucket = "" }.SettleSeconds;

    private static int Setting(string name, int otherwise) =>
        int.TryParse(Environment.GetEnvironmentVariable(name), System.Globalization.CultureInfo.InvariantCulture, out var set) ? set : otherwise;

    public static async Task RunAsync(IStoreServer server)
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        await server.StartAsync();
        var night = new Night(log);
        await using var following = new Following(log, Following.Quick(server.Options) with { BatchEntries = 1000, AnswerSeconds = 1, SettleSeconds = s_settle });
        var (portions, done) = (s_cycles / Portion, 0);
        Func<IStoreServer, Task>[] each = [KillAsync, PauseAsync, RestartAsync];
        var mishaps = Enumerable.Repeat(each, s_rounds).SelectMany(m => m).ToList();
        var mishap = Task.CompletedTask;
        for (var portion = 0; portion < portions; portion++)
        {
            for (var i = 0; i < Portion; i++)
            {
                night.Cycle();
            }

            log.Flush();

            // Each in the midst of the flow: when its part of the readings is written and most of them are there. The kill comes early.
            if (done < mishaps.Count && portion >= portions * (done + 0.2) / mishaps.Count)
            {
                await mishap;
                await Following.Until(() => following.Follower.Behind <= 4 * Portion, 60);
                mishap = mishaps[done++](server);
            }
        }

        await mishap;
        Assert.Equal(mishaps.Count, done);
        await following.DoneAsync(120);
        Assert.Equal(0, following.Follower.Refused);
        Following.Same(log, await server.CyclesAsync());
    }

    private static async Task KillAsync(IStoreServer server)
    {
        await Task.Delay(300);
        await server.Process.KillAsync();
        await Task.Delay(300);
        await server.StartAsync();
    }

    private static async Task PauseAsync(IStoreServer server)
    {
        await server.Process.SignalAsync("STOP");
        await Task.Delay(1500); // Longer than an answer is waited for.
        await server.Process.SignalAsync("CONT");
    }

    private static async Task RestartAsync(IStoreServer server)
    {
        await server.Process.StopAsync();
        await server.StartAsync();
    }
}

/// <summary>Both servers at once, since most of it is waiting; EVENWATER_SERVER names one alone, "influxd" or "victoria".</summary>
public sealed class StoreFlowTests
{
    [Fact]
    public async Task No_reading_is_lost_or_doubled_though_the_server_is_killed_paused_and_restarted()
    {
        var only = Environment.GetEnvironmentVariable("EVENWATER_SERVER");
        Assert.True(only is null or "influxd" or "victoria", $"EVENWATER_SERVER = {only}: influxd or victoria");
        await Task.WhenAll(only == "victoria" ? Task.CompletedTask : InfluxdAsync(), only == "influxd" ? Task.CompletedTask : VictoriaAsync());
    }

    private static async Task InfluxdAsync()
    {
        using var server = new Influxd();
        await StoreFlow.RunAsync(server);
    }

    private static async Task VictoriaAsync()
    {
        using var server = new Victoria();
        await StoreFlow.RunAsync(server);
    }
}
