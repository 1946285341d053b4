using System.Text.Json;
using Evenwater.Followers;

namespace Evenwater.Tests.Servers;

/// <summary>A real server of another make that speaks InfluxDB 2's write path. It keeps numbers alone, and times in ms.</summary>
internal sealed class Victoria : IStoreServer
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-victoria-");
    private readonly HttpClient _http;

    public Victoria()
    {
        var port = ServerProcess.FreePort();
        Options = new InfluxOptions { Url = $"http://127.0.0.1:{port}", Bucket = "tank" };
        _http = new HttpClient { BaseAddress = new Uri(Options.Url) };

        // It stores what it is sent twice twice, unless told to take equal times for one.
        Process = new ServerProcess(
            "victoria-metrics", "victoria-metrics", port,
            $"-storageDataPath={_folder.FullName}/data", $"-httpListenAddr=127.0.0.1:{port}", "-retentionPeriod=10y", "-dedup.minScrapeInterval=1ms");
    }

    public ServerProcess Process { get; }

    public InfluxOptions Options { get; }

    public Task StartAsync() => Process.StartAsync();

    public async Task<List<StoredCycle>> CyclesAsync()
    {
        (await _http.GetAsync(new Uri("/internal/force_flush", UriKind.Relative))).EnsureSuccessStatusCode();
        var text = await _http.GetStringAsync(new Uri("/api/v1/export?match[]=" + Uri.EscapeDataString("{__name__=~\"reading_.*\"}"), UriKind.Relative));
        var points = new SortedDictionary<(long Time, int Nth), Dictionary<string, double>>();
        foreach (var line in text.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            using var json = JsonDocument.Parse(line);
            var name = json.RootElement.GetProperty("metric").GetProperty("__name__").GetString()!["reading_".Length..];
            var times = json.RootElement.GetProperty("timestamps").EnumerateArray().Select(t => t.GetInt64());
            var (before, nth) = (-1L, 0);
            foreach (var (time, value) in times.Zip(json.RootElement.GetProperty("values").EnumerateArray()))
            {
                (nth, before) = (time == before ? nth + 1 : 0, time);
                if (!points.TryGetValue((time, nth), out var fields))
                {
                    points.Add((time, nth), fields = []);
                }

                fields.Add(name, value.GetDouble());
            }
        }

        return [.. points.Select(p => new StoredCycle(p.Key.Time, p.Value))];
    }

    public async Task<long> CountAsync()
    {
        (await _http.GetAsync(new Uri("/internal/force_flush", UriKind.Relative))).EnsureSuccessStatusCode();
        await using var text = await _http.GetStreamAsync(new Uri("/api/v1/export?match[]=reading_entry", UriKind.Relative));
        using var reader = new StreamReader(text);
        var count = 0L;
        while (await reader.ReadLineAsync() is { } line)
        {
            using var json = JsonDocument.Parse(line);
            count += json.RootElement.GetProperty("timestamps").GetArrayLength();
        }

        return count;
    }

    public void Dispose()
    {
        Process.Dispose();
        _http.Dispose();
        _folder.Delete(recursive: true);
    }
}
