using System.Text.Json;

namespace Evenwater.Tests.Servers;

/// <summary>A real InfluxDB 1.x with one database, "tank".</summary>
internal sealed class Influxd : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-influxd-");
    private readonly HttpClient _http;
    private readonly ServerProcess _process;

    public Influxd()
    {
        var port = ServerProcess.FreePort();
        Url = $"http://127.0.0.1:{port}";
        _http = new HttpClient { BaseAddress = new Uri(Url) };
        var configuration = Path.Combine(_folder.FullName, "influxdb.conf");
        File.WriteAllText(
            configuration,
            $"""
            reporting-disabled = true
            bind-address = "127.0.0.1:{ServerProcess.FreePort()}"
            [meta]
            dir = "{_folder.FullName}/meta"
            [data]
            dir = "{_folder.FullName}/data"
            wal-dir = "{_folder.FullName}/wal"
            [http]
            bind-address = "127.0.0.1:{port}"

            """);
        _process = new ServerProcess("influxd", "influxdb", port, "-config", configuration);
    }

    public string Url { get; }

    public async Task StartAsync()
    {
        await _process.StartAsync();
        using var form = new FormUrlEncodedContent([new("q", "CREATE DATABASE tank")]);
        using var answer = await _http.PostAsync(new Uri("/query", UriKind.Relative), form);
        answer.EnsureSuccessStatusCode();
    }

    /// <summary>The rows of a query, each by column name; times in ns.</summary>
    public async Task<List<Dictionary<string, JsonElement>>> QueryAsync(string query)
    {
        var text = await _http.GetStringAsync(new Uri($"/query?db=tank&epoch=ns&q={Uri.EscapeDataString(query)}", UriKind.Relative));
        using var json = JsonDocument.Parse(text);
        var result = json.RootElement.GetProperty("results")[0];
        if (!result.TryGetProperty("series", out var series))
        {
            return [];
        }

        var columns = series[0].GetProperty("columns").EnumerateArray().Select(c => c.GetString()!).ToList();
        return [.. series[0].GetProperty("values").EnumerateArray().Select(row =>
            columns.Zip(row.EnumerateArray(), (name, value) => (name, value: value.Clone())).ToDictionary(p => p.name, p => p.value))];
    }

    public void Dispose()
    {
        _process.Dispose();
        _http.Dispose();
        _folder.Delete(recursive: true);
    }
}
