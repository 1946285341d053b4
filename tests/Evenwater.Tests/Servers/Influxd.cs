using System.Text.Json;
using Evenwater.Followers;

namespace Evenwater.Tests.Servers;

/// <summary>A real InfluxDB 1.x with one database, "tank".</summary>
internal sealed class Influxd : IStoreServer
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-influxd-");
    private readonly HttpClient _http;
    private readonly ServerProcess _process;

    /// <param name="http">More lines of its [http] section.</param>
    public Influxd(string http = "")
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
            {http}

            """);
        _process = new ServerProcess("influxd", "influxdb", port, "-config", configuration);
    }

    public string Url { get; }

    public ServerProcess Process => _process;

    public InfluxOptions Options => new() { Url = Url, Bucket = "tank/autogen", Version1 = true };

    public async Task StartAsync()
    {
        await _process.StartAsync();
        await DoAsync("CREATE DATABASE tank");
    }

    /// <summary>A statement that changes something.</summary>
    public async Task DoAsync(string statement, string? user = null)
    {
        using var form = new FormUrlEncodedContent([new("q", statement)]);
        using var answer = await _http.PostAsync(new Uri("/query" + (user is null ? "" : $"?u={user}&p={user}"), UriKind.Relative), form);
        answer.EnsureSuccessStatusCode();
    }

    /// <summary>Line protocol as somebody else would write it.</summary>
    public async Task WriteAsync(string lines)
    {
        using var body = new StringContent(lines);
        using var answer = await _http.PostAsync(new Uri("/write?db=tank", UriKind.Relative), body);
        answer.EnsureSuccessStatusCode();
    }

    public async Task<List<StoredCycle>> CyclesAsync()
    {
        var rows = await QueryAsync("SELECT * FROM reading ORDER BY time");
        return rows.ConvertAll(row => new StoredCycle(
            row["time"].GetInt64() / 1_000_000,
            row.Where(p => p.Value.ValueKind is JsonValueKind.Number or JsonValueKind.True or JsonValueKind.False)
                .Where(p => p.Key != "time")
                .ToDictionary(p => p.Key, p => p.Value.ValueKind == JsonValueKind.Number ? p.Value.GetDouble() : p.Value.GetBoolean() ? 1 : 0)));
    }

    public async Task<long> CountAsync()
    {
        var rows = await QueryAsync("SELECT count(entry) FROM reading");
        return rows.Count == 0 ? 0 : rows[0]["count"].GetInt64();
    }

    /// <summary>The rows of a query, each by column name; times in ns.</summary>
    public async Task<List<Dictionary<string, JsonElement>>> QueryAsync(string query, string? user = null)
    {
        var text = await _http.GetStringAsync(new Uri($"/query?db=tank&epoch=ns&q={Uri.EscapeDataString(query)}{(user is null ? "" : $"&u={user}&p={user}")}", UriKind.Relative));
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
