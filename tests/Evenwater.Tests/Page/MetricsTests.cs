using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Tests.Page;

/// <summary>/metrics, read by the parser of the format's own Python library (Debian's python3-prometheus-client).</summary>
public class MetricsTests
{
    private const string Parse = """
        import sys, json
        from prometheus_client.openmetrics.parser import text_string_to_metric_families as parse
        for family in parse(sys.stdin.read()):
            for s in family.samples:
                print(json.dumps([family.name, family.type, family.unit, s.name, s.labels, s.value]))
        """;

    private static LogFigures Log => new(1_000, 6_000, 12_345, 999_999, [new("influxdb", 12, 3, 4.5), new("mqtt/sim-river", 0, 0, 0)])
    {
        Commits = true,
        OldestUncommittedSeconds = 1.25,
    };

    private static List<ScrapedStation> Stations()
    {
        var at = MonotonicTime.FromSeconds(5);
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(410, at);
        readings[Channel.VesselTemperature] = Reading.Of(19.5, at);
        readings[Channel.TankTemperature] = Reading.Missing(Reason.NoAnswer, at);
        readings[Channel.FloatHigh] = Reading.Of(0, at);
        readings[Channel.Level] = Reading.Of(120, at);
        return [new("sim-river", true, 0.5, Phase.Dripping, readings, MadeUp.Night(1).Forecast, LastHeldOpen: true), new("odd\"name\\", false, 2, Phase.Idle, Readings.None(), null, LastHeldOpen: false)];
    }

    [Fact]
    public async Task The_formats_own_parser_reads_units_states_and_what_is_absent()
    {
        var (samples, error) = await ParsedAsync(Metrics.Text(Stations(), Log, "1.2.3", 80_000_000));
        Assert.Equal("", error);

        // By hand: 410 uS/cm = 0.041 S/m; 120 mm = 0.12 m.
        Is("evenwater_vessel_conductivity_25c_siemens_per_meter", 0.041, "siemens_per_meter");
        Is("evenwater_vessel_temperature_celsius", 19.5, "celsius");
        Is("evenwater_vessel_level_meters", 0.12, "meters");
        Is("evenwater_float_high_wet", 0, "");
        Is("process_resident_memory_bytes", 80_000_000, "bytes");
        Is("evenwater_log_oldest_uncommitted_seconds", 1.25, "seconds");
        Is("evenwater_log_size_bytes", 12_345, "bytes");
        Is("evenwater_log_committing", 1, "");
        Is("evenwater_log_entries_total", 1_000, "");
        Assert.Equal(12, Of("evenwater_follower_lag_readings").First(s => s.Labels["follower"] == "influxdb").Value);
        Assert.Equal(4.5, Of("evenwater_follower_lag_seconds").First(s => s.Labels["follower"] == "influxdb").Value);
        Assert.Equal("1.2.3", Assert.Single(Of("evenwater_build_info")).Labels["version"]);
        Assert.Contains(Of("evenwater_station_info"), s => s.Labels["station"] == "odd\"name\\");

        Assert.Empty(Of("evenwater_tank_temperature_celsius"));
        Assert.Empty(Of("evenwater_tank_conductivity_25c_siemens_per_meter"));
        Assert.Equal("no-answer", State("evenwater_reading_reason", "channel", "tank_temperature"));
        Assert.Equal("none", State("evenwater_reading_reason", "channel", "vessel_temperature"));
        Assert.Equal("dripping", State("evenwater_phase", "station", "sim-river"));
        Assert.Equal([1, 0], Of("evenwater_valve_open").Select(s => s.Value));
        var forecast = MadeUp.Night(1).Forecast!.Value;
        Is("evenwater_forecast_volume_cubic_meters", forecast.VolumeLitres.P50 / 1000, "cubic_meters");
        Is("evenwater_forecast_inflow_cubic_meters_per_second", forecast.FlowMillilitresPerMinute.P50 * 1e-6 / 60, "cubic_meters_per_second");

        void Is(string name, double value, string unit)
        {
            var sample = Assert.Single(Of(name));
            Assert.Equal((value, unit), (Math.Round(sample.Value, 12), sample.Unit), Comparer);
        }

        List<Sample> Of(string name) => [.. samples.Where(s => s.Name == name)];
        string State(string name, string label, string of) => Assert.Single(Of(name), s => s.Labels[label] == of && s.Value == 1).Labels[name];
    }

    /// <summary>What was read before a station fell silent is not told as if it were read now.</summary>
    [Theory]
    [InlineData(10, true)]
    [InlineData(10.5, false)]
    public void Of_a_station_that_has_fallen_silent_no_value_is_told(double silent, bool told)
    {
        var text = Metrics.Text([Stations()[0] with { SilentSeconds = silent }], Log, "1.2.3", 80_000_000);
        foreach (var name in new[] { "vessel_conductivity_25c_siemens_per_meter", "vessel_level_meters", "float_high_wet", "forecast_volume_cubic_meters", "valve_open" })
        {
            Assert.Equal(told, text.Contains($"evenwater_{name}{{", StringComparison.Ordinal));
        }

        Assert.Contains($"evenwater_reading_reason{{station=\"sim-river\",channel=\"vessel_temperature\",evenwater_reading_reason=\"{(told ? "none" : "stale")}\"}} 1\n", text, StringComparison.Ordinal);
        Assert.DoesNotContain("channel=\"mass\"", text, StringComparison.Ordinal); // not fitted is not stale
        Assert.Contains(FormattableString.Invariant($"evenwater_station_silence_seconds{{station=\"sim-river\"}} {silent}\n"), text, StringComparison.Ordinal);
    }

    /// <summary>What the parser lets pass is no check: these it must not.</summary>
    [Theory]
    [InlineData("# EOF\n", "")]
    [InlineData("# UNIT process_resident_memory_bytes bytes", "# UNIT process_resident_memory_bytes kelvin")]
    [InlineData("evenwater_log_entries_total", "evenwater_log_entries")]
    [InlineData("odd\\\"name", "odd\"name")]
    public async Task The_parser_refuses_what_breaks_the_format(string right, string wrong)
    {
        var text = Metrics.Text(Stations(), Log, "1.2.3", 80_000_000);
        Assert.Contains(right, text, StringComparison.Ordinal);
        Assert.NotEqual("", (await ParsedAsync(text.Replace(right, wrong, StringComparison.Ordinal))).Error);
    }

    [Fact]
    public async Task It_is_served_with_its_media_type_and_behind_the_pages_guard()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var path = new Uri("/metrics", UriKind.Relative);
        using var answer = await page.Client.GetAsync(path, TestContext.Current.CancellationToken);
        Assert.Equal("application/openmetrics-text; version=1.0.0; charset=utf-8", answer.Content.Headers.ContentType!.ToString());
        Assert.Equal("# EOF\n", await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        using var rebound = new HttpRequestMessage(HttpMethod.Get, path);
        rebound.Headers.Host = $"evil.example:{page.Address.Port}";
        Assert.Equal(HttpStatusCode.BadRequest, (await page.Client.SendAsync(rebound, TestContext.Current.CancellationToken)).StatusCode);
        Assert.Equal(HttpStatusCode.MethodNotAllowed, (await page.PostFormAsync("/metrics")).StatusCode);
    }

    private static readonly EqualityComparer<(double Value, string Unit)> Comparer =
        EqualityComparer<(double Value, string Unit)>.Create((a, b) => Math.Abs(a.Value - b.Value) < 1e-11 && a.Unit == b.Unit, _ => 0);

    private sealed record Sample(string Family, string Type, string Unit, string Name, Dictionary<string, string> Labels, double Value);

    private static async Task<(List<Sample> Samples, string Error)> ParsedAsync(string text)
    {
        // Debian's own Python: another that stands first on the path does not see Debian's packages.
        using var python = Process.Start(new ProcessStartInfo("/usr/bin/python3", ["-c", Parse]) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true })!;
        var (output, error) = (python.StandardOutput.ReadToEndAsync(), python.StandardError.ReadToEndAsync());
        await python.StandardInput.WriteAsync(text);
        python.StandardInput.Close();
        await python.WaitForExitAsync(TestContext.Current.CancellationToken);
        return ([.. (await output).Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(Read)], await error);

        static Sample Read(string line)
        {
            using var json = JsonDocument.Parse(line);
            var parts = json.RootElement;
            return new Sample(parts[0].GetString()!, parts[1].GetString()!, parts[2].GetString() ?? "", parts[3].GetString()!,
                parts[4].Deserialize<Dictionary<string, string>>()!, double.Parse(parts[5].GetRawText(), CultureInfo.InvariantCulture));
        }
    }
}
