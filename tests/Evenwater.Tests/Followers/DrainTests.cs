using System.Diagnostics;
using System.Globalization;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Followers;

/// <summary>
/// How fast a backlog goes to a real server. EVENWATER_DRAIN says how many readings; without it a few, so that the command that measures cannot rot.
/// </summary>
public sealed class DrainTests(ITestOutputHelper output)
{
    private const int ReadingsPerCycle = 5;

    /// <summary>A server may take this long until it shows what it has acknowledged. Common practice, no source.</summary>
    private static readonly TimeSpan s_longestUnseen = TimeSpan.FromSeconds(30);

    private static readonly int s_readings = int.TryParse(Environment.GetEnvironmentVariable("EVENWATER_DRAIN"), CultureInfo.InvariantCulture, out var set) ? set : 20_000;
    private static readonly double s_least = double.TryParse(Environment.GetEnvironmentVariable("EVENWATER_LEAST"), CultureInfo.InvariantCulture, out var set) ? set : 0;

    [Fact]
    public async Task A_backlog_drains_into_influxd()
    {
        using var server = new Influxd();
        await DrainAsync(server);
    }

    [Fact]
    public async Task A_backlog_drains_into_victoria_metrics()
    {
        using var server = new Victoria();
        await DrainAsync(server);
    }

    private async Task DrainAsync(IStoreServer server)
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        await Night.WriteAsync(log, s_readings / ReadingsPerCycle);
        await server.StartAsync();
        var started = Stopwatch.GetTimestamp();
        var processor = Process.GetCurrentProcess().TotalProcessorTime;
        await using var following = new Following(log, server.Options);
        while (following.Follower.Behind > 0)
        {
            Assert.True(following.Follower.Fault is null, following.Follower.Fault);
            await Task.Delay(following.Follower.Behind > 50_000 ? 500 : 5, TestContext.Current.CancellationToken);
        }

        var seconds = Stopwatch.GetElapsedTime(started).TotalSeconds;
        var used = (Process.GetCurrentProcess().TotalProcessorTime - processor).TotalSeconds;
        var rate = s_readings / seconds;
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"{server.GetType().Name.ToLowerInvariant()}: {s_readings} readings in {seconds:F1} s, {rate:F0} a second; own processor time {used:F1} s"));
        Assert.Equal(0, following.Follower.Refused);
        var acknowledged = Stopwatch.GetTimestamp();
        var seen = await server.CountAsync();
        while (seen < s_readings / ReadingsPerCycle && Stopwatch.GetElapsedTime(acknowledged) < s_longestUnseen)
        {
            await Task.Delay(500, TestContext.Current.CancellationToken);
            seen = await server.CountAsync();
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"all of it seen {Stopwatch.GetElapsedTime(acknowledged).TotalSeconds:F1} s after the last acknowledgement"));
        Assert.Equal(s_readings / ReadingsPerCycle, seen);
        Assert.True(rate >= s_least, $"{rate:F0} readings a second, wanted {s_least:F0}");
    }
}
