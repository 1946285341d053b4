using System.Diagnostics;
using System.Globalization;
using System.Text;
using Evenwater.Tests.Latency;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Store;

/// <summary>The same readings in a real time-series server, asked for the same stretches over its own HTTP interface.</summary>
internal static class VictoriaStore
{
    public static async Task CompareAsync(ITestOutputHelper output, long seconds, int points, double ourBytes, Latencies ours)
    {
        var folder = Directory.CreateTempSubdirectory("evenwater-store-");
        try
        {
            var port = ServerProcess.FreePort();
            using var server = new ServerProcess(
                "victoria-metrics", "victoria-metrics", port,
                $"-storageDataPath={folder.FullName}/data", $"-httpListenAddr=127.0.0.1:{port}", "-retentionPeriod=100y", "-search.disableCache");
            await server.StartAsync();
            using var http = new HttpClient { BaseAddress = new Uri($"http://127.0.0.1:{port}"), Timeout = TimeSpan.FromMinutes(5) };
            await FillAsync(http, seconds);
            await server.StopAsync();
            var bytes = folder.EnumerateFiles("*", SearchOption.AllDirectories).Sum(f => f.Length) / ((double)seconds * LifelikeYear.ChannelsFitted);
            await server.StartAsync();
            var times = new Latencies();
            foreach (var (from, to) in Zooms.All(seconds).Take(12))
            {
                await Zooms.ForgetAsync();
                var step = Math.Max(1, (int)((to - from).TotalSeconds / points));
                var started = Stopwatch.StartNew();
                foreach (var what in new[] { "min", "avg", "max" })
                {
                    var answer = await http.GetStringAsync(new Uri(
                        $"/api/v1/query_range?query={what}_over_time(reading_code[{step}s])&start={from.ToUnixTimeSeconds()}&end={to.ToUnixTimeSeconds()}&step={step}s", UriKind.Relative));
                    Assert.Contains("\"values\":[[", answer, StringComparison.Ordinal);
                }

                times.Add(started.Elapsed.TotalMilliseconds);
            }

            output.WriteLine($"victoria-metrics: {bytes:0.00} bytes a reading, {bytes / ourBytes:0.0} times ours; p50 {times.Quantile(0.5):0} ms, p95 {times.Quantile(0.95):0} ms, {times.Quantile(0.95) / ours.Quantile(0.95):0.0} times ours");
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static async Task FillAsync(HttpClient http, long seconds)
    {
        var year = new LifelikeYear(1);
        var lines = new StringBuilder();
        for (var second = 1L; second <= seconds; second++)
        {
            var samples = year.At(second);
            foreach (var channel in LifelikeYear.Given)
            {
                lines.Append(CultureInfo.InvariantCulture, $"reading,channel={(int)channel} code={samples[channel].Code} {LifelikeYear.Begin.AddSeconds(second).ToUnixTimeMilliseconds()}\n");
            }

            if (second % 10_000 == 0 || second == seconds)
            {
                using var body = new StringContent(lines.ToString());
                (await http.PostAsync(new Uri("/write?precision=ms", UriKind.Relative), body)).EnsureSuccessStatusCode();
                lines.Clear();
            }
        }

        (await http.GetAsync(new Uri("/internal/force_flush", UriKind.Relative))).EnsureSuccessStatusCode();
        (await http.GetAsync(new Uri("/internal/force_merge", UriKind.Relative))).EnsureSuccessStatusCode();
        await Task.Delay(TimeSpan.FromSeconds(Math.Clamp(seconds / 100_000, 2, 120)));
    }
}
