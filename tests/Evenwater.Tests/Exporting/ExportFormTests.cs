using System.Collections.Concurrent;
using System.Text.Json;
using Evenwater.Core;
using Evenwater.Exporting;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Tests.Followers;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Exporting;

/// <summary>What is written for other programs.</summary>
public sealed class ExportFormTests : IDisposable
{
    private readonly ExportedLog _log = new();

    public void Dispose() => _log.Dispose();

    [Fact]
    public void Csv_has_a_row_for_each_cycle_with_units_in_its_header_and_reasons_for_gaps()
    {
        var folder = _log.Fill(60).Folder.Path;
        var ask = new ExportAsk("sim-river", [Channel.VesselTemperature, Channel.TankTemperature]);
        var rows = ExportedLog.Csv(folder, ask).Split("\r\n");
        Assert.Equal(
            "entry,time_utc,clock,station,run,valve_open,vessel_temperature_celsius,vessel_temperature_reason,tank_temperature_celsius,tank_temperature_reason",
            rows[0]);
        Assert.Equal(62, rows.Length);
        Assert.Equal("", rows[^1]);

        // By hand, in sixteenths of a degree: (312 + 1) / 16 = 19.5625, (312 + 7) / 16 = 19.9375, 368 / 16 = 23; the tank's thermometer is silent every seventh second.
        Assert.Equal("1,2026-03-14T20:00:01.000Z,simulated,sim-river,7,,19.5625,,23,", rows[1]);
        Assert.Equal("7,2026-03-14T20:00:07.000Z,simulated,sim-river,7,,19.9375,,,no-answer", rows[7]);
    }

    /// <summary>RFC 4180, section 2, rules 5 to 7, and a field that needs no quotes.</summary>
    [Theory]
    [InlineData("sim-river", "sim-river")]
    [InlineData("a,b", "\"a,b\"")]
    [InlineData("a \"b\"", "\"a \"\"b\"\"\"")]
    [InlineData("a\r\nb", "\"a\r\nb\"")]
    public void A_csv_field_is_quoted_where_it_must_be(string field, string stands) => Assert.Equal(stands, CsvExport.Quoted(field));

    [Fact]
    public void Undated_cycles_stand_in_csv_without_a_time_and_are_counted_out_of_senml()
    {
        var folder = _log.Fill(60).Folder.Path;
        Assert.Equal(2, ExportedLog.Csv(folder, new ExportAsk("sim-lagoon")).Split("\r\n").Count(row => row.Contains(",,unsynced,sim-lagoon,", StringComparison.Ordinal)));
        ExportedLog.SenMl(folder, new ExportAsk("sim-lagoon"), exported => Assert.Equal(new Exported(1, 2), exported));
    }

    [Fact]
    public void A_span_takes_its_start_and_not_its_end()
    {
        var folder = _log.Fill(60).Folder.Path;
        var ask = new ExportAsk("sim-river", From: LogFolder.Evening.AddSeconds(10), To: LogFolder.Evening.AddSeconds(20));
        Assert.Equal(Enumerable.Range(10, 10), ExportedLog.Csv(folder, ask).Split("\r\n")[1..^1].Select(row => int.Parse(row.Split(',')[0])));
    }

    /// <summary>RFC 8428, section 4.6: the packs of the broker, resolved here by hand, are the exported records.</summary>
    [Fact]
    public void Senml_records_are_resolved_and_say_what_the_broker_is_told()
    {
        var folder = _log.Fill(60).Folder.Path;
        using var reader = new LogReader(folder, 1);
        var told = ExportedLog.All(folder).Where(e => e is { Kind: EntryKind.Cycle, Wall: not null })
            .SelectMany(e => Resolved(SenMl.Of(e, reader.Configuration(e.ConfigurationId), $"evenwater/v1/{e.Station}/"))).ToList();
        using var pack = JsonDocument.Parse(ExportedLog.SenMl(folder, ExportAsk.All));
        var records = pack.RootElement.EnumerateArray().ToList();
        Assert.All(records, r => Assert.DoesNotContain(r.EnumerateObject(), p => p.Name.StartsWith('b')));

        // Section 4.5.3: less than 2^28 would be relative to now.
        Assert.All(records, r => Assert.True(r.GetProperty("t").GetDecimal() > 1 << 28));
        Assert.Equal(told, [.. records.Select(r => One(r, "", 0))]);
        Assert.True(told.Count > 60 * 6);
    }

    [Fact]
    public async Task Lines_are_those_that_the_follower_sends()
    {
        var folder = _log.Fill(120).Folder.Path;
        var got = new ConcurrentQueue<string>();
        using var server = new Answering((lines, _) =>
        {
            foreach (var line in lines)
            {
                got.Enqueue(line);
            }

            return (204, "");
        });
        using (var log = NightLog.Open(folder, pace: LogFolder.Quick))
        {
            await using var following = new Following(log, Following.Quick(new InfluxOptions { Url = server.Url, Organisation = "-", Bucket = "night" }));
            await Following.Until(() => got.Distinct().Count() >= 124);
        }

        var lines = ExportedLog.Line(folder, ExportAsk.All).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(124, lines.Length);
        Assert.Equal(lines, got.Distinct().OrderBy(Answering.EntryOf).Take(124));
        var one = ExportedLog.Line(folder, new ExportAsk(null, [Channel.VesselTemperature])).Split('\n')[0];
        Assert.Contains("vessel_temperature_celsius=19.5625", one, StringComparison.Ordinal);
        Assert.DoesNotContain("tank", one, StringComparison.Ordinal);
    }

    private static List<string> Resolved(byte[] pack)
    {
        using var json = JsonDocument.Parse(pack);
        var first = json.RootElement[0];
        return [.. json.RootElement.EnumerateArray().Select(r => One(r, first.GetProperty("bn").GetString()!, first.GetProperty("bt").GetDecimal()))];
    }

    private static string One(JsonElement record, string baseName, decimal baseTime)
    {
        var time = baseTime + (record.TryGetProperty("t", out var t) ? t.GetDecimal() : 0);
        var value = record.EnumerateObject().Single(p => p.Name is "v" or "vb" or "vs").Value.GetRawText();
        return $"{baseName}{record.GetProperty("n").GetString()} {(record.TryGetProperty("u", out var u) ? u.GetString() : "")} {value} {time:0.000}";
    }
}
