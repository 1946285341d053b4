using System.Diagnostics;
using System.Globalization;
using Evenwater.Log;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Followers;

/// <summary>
/// How fast a backlog goes to a real server, and what it does to the memory. EVENWATER_DRAIN says how many readings; without it a few, so that the
/// command that measures cannot rot. Memory is this process's: follower, log and client, without stations and page.
/// </summary>
public sealed class DrainTests(ITestOutputHelper output)
{
    private const int ReadingsPerCycle = 5;

    /// <summary>Growth from the first fifth of the backlog on, MB.</summary>
    private const double MostGrowth = 5;

    private static readonly int s_readings = int.TryParse(Environment.GetEnvironmentVariable("EVENWATER_DRAIN"), CultureInfo.InvariantCulture, out var set) ? set : 20_000;
    private static readonly double s_least = double.TryParse(Environment.GetEnvironmentVariable("EVENWATER_LEAST"), CultureInfo.InvariantCulture, out var set) ? set : 0;

    [Fact]
    public async Task A_backlog_drains_into_influxd()
    {
        using var server = new Influxd();
        await DrainAsync(server);
        var rows = await server.QueryAsync("SELECT count(entry) FROM reading");
        Assert.Equal(s_readings / ReadingsPerCycle, rows[0]["count"].GetInt64());
    }

    [Fact]
    public async Task A_backlog_drains_into_victoria_metrics()
    {
        using var server = new Victoria();
        await DrainAsync(server);
        Assert.Equal(s_readings / ReadingsPerCycle, await server.CountAsync("reading_entry"));
    }

    private async Task DrainAsync(IStoreServer server)
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        var night = new Night(log);
        for (var i = 0; i < s_readings / ReadingsPerCycle; i++)
        {
            night.Cycle();
            if (i % 2000 == 1999)
            {
                await log.CommitAsync(TestContext.Current.CancellationToken);
            }
        }

        await log.CommitAsync(TestContext.Current.CancellationToken);
        await server.StartAsync();
        var memory = new List<double>();
        var started = Stopwatch.GetTimestamp();
        var processor = Process.GetCurrentProcess().TotalProcessorTime;
        await using var following = new Following(log, server.Options);
        while (following.Follower.Behind > 0)
        {
            Assert.True(following.Follower.Fault is null, following.Follower.Fault);
            await Task.Delay(following.Follower.Behind > 50_000 ? 500 : 5, TestContext.Current.CancellationToken);
            if (following.Follower.Behind < log.LastId * 4 / 5)
            {
                memory.Add(Resident());
            }
        }

        var seconds = Stopwatch.GetElapsedTime(started).TotalSeconds;
        var used = (Process.GetCurrentProcess().TotalProcessorTime - processor).TotalSeconds;
        var rate = s_readings / seconds;
        var growth = memory.Count == 0 ? 0 : memory.Max() - memory[0];
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"{server.GetType().Name.ToLowerInvariant()}: {s_readings} readings in {seconds:F1} s, {rate:F0} a second; own processor time {used:F1} s; resident {memory.FirstOrDefault():F1} MB after a fifth, at most {growth:F1} MB more"));
        Assert.Equal(0, following.Follower.Refused);
        Assert.True(rate >= s_least, $"{rate:F0} readings a second, wanted {s_least:F0}");
        Assert.True(s_readings < 1_000_000 || growth <= MostGrowth, $"grew by {growth:F1} MB");
    }

    /// <summary>MB; proc(5), status, VmRSS.</summary>
    private static double Resident() =>
        double.Parse(File.ReadLines("/proc/self/status").First(l => l.StartsWith("VmRSS:", StringComparison.Ordinal))[6..^2], CultureInfo.InvariantCulture) / 1024;
}
