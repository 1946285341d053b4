using System.Globalization;
using Evenwater.Log;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Daemon;

/// <summary>The program with a database, as its file names it.</summary>
public sealed class DatabaseTests(ITestOutputHelper output) : IDisposable
{
    private const int ReadingsPerCycle = 5;

    /// <summary>Growth while a backlog drains, from its first fifth on, MB.</summary>
    private const double MostGrowth = 5;

    private static readonly int s_readings = int.TryParse(Environment.GetEnvironmentVariable("EVENWATER_DRAIN"), CultureInfo.InvariantCulture, out var set) ? set : 20_000;

    private readonly ProgramUnderTest _program = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public void Dispose() => _program.Dispose();

    [Fact]
    public async Task A_database_that_does_not_let_the_daemon_in_calls_once_and_the_night_goes_on()
    {
        using var database = new Answering((_, _) => (401, "{\"error\":\"authorization failed\"}"));
        await ConfigureAsync(database.Url, "tank", version1: true);
        var daemon = _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        var alarms = "";
        for (var i = 0; i < 60 && !alarms.Contains("sending-refused: unacknowledged, low", StringComparison.Ordinal); i++)
        {
            await Task.Delay(300, Stop);
            alarms = (await _program.CallAsync("alarms")).Out;
        }

        Assert.Contains("sending-refused: unacknowledged, low", alarms, StringComparison.Ordinal);
        Assert.Contains("To do: Read the event 'refused'", alarms, StringComparison.Ordinal);
        Assert.False(daemon.HasExited);
        daemon.Kill();
        await daemon.WaitForExitAsync(Stop);
        using var log = NightLog.Open(_program.State);
        var told = log.Reader.LastEvent("sim-river", "refused");
        Assert.Contains("authorization failed (status 401). Check influx.url, organisation, bucket and tokenFile.", told?.Text, StringComparison.Ordinal);
        Assert.Equal(0, log.Cursor("influxdb"));
    }

    [Fact]
    public async Task Its_memory_stays_flat_while_a_backlog_drains_into_influxd()
    {
        using var server = new Influxd();
        await DrainAsync(server, "tank/autogen", version1: true);
    }

    [Fact]
    public async Task Its_memory_stays_flat_while_a_backlog_drains_into_victoria_metrics()
    {
        using var server = new Victoria();
        await DrainAsync(server, "tank", version1: false);
    }

    private async Task DrainAsync(IStoreServer server, string bucket, bool version1)
    {
        await ConfigureAsync(server.Options.Url, bucket, version1);
        var cycles = s_readings / ReadingsPerCycle;
        using (var log = NightLog.Open(_program.State, pace: LogFolder.Quick))
        {
            await Night.WriteAsync(log, cycles);
        }

        await server.StartAsync();
        var daemon = _program.Start("serve", "--config", _program.Configuration);
        var memory = new List<double>();
        for (var there = 0L; there < cycles; there = await server.CountAsync())
        {
            Assert.False(daemon.HasExited);
            if (there > cycles / 5)
            {
                memory.Add(double.Parse(File.ReadLines($"/proc/{daemon.Id}/status").First(l => l.StartsWith("VmRSS:", StringComparison.Ordinal))[6..^2], CultureInfo.InvariantCulture) / 1024);
            }

            await Task.Delay(cycles > 100_000 ? 2000 : 200, Stop);
        }

        var growth = memory.Count == 0 ? 0 : memory.Max() - memory[0];
        output.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"daemon to {server.GetType().Name.ToLowerInvariant()}: {s_readings} readings; resident {memory.FirstOrDefault():F1} MB after a fifth, at most {growth:F1} MB more, {memory.Count} looks"));
        Assert.True(s_readings < 5_000_000 || (growth <= MostGrowth && memory.Count > 5), $"grew by {growth:F1} MB, {memory.Count} looks");
    }

    private Task ConfigureAsync(string url, string bucket, bool version1) => File.WriteAllTextAsync(
        _program.Configuration,
        $$"""{ "stations": ["station.json"], "page": { "port": {{_program.PagePort}} }, "influx": { "url": "{{url}}", "bucket": "{{bucket}}", "version1": {{(version1 ? "true" : "false")}} } }""",
        Stop);
}
