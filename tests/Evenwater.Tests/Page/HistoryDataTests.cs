using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using Evenwater.Page.Charts;
using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Tests.Log;
using Evenwater.Tests.Store;

namespace Evenwater.Tests.Page;

/// <summary>What /api/v1/history answers, against logs whose readings are known.</summary>
public sealed class HistoryDataTests
{
    private const string Hour = "from=2026-03-14T20:00Z&to=2026-03-14T21:00Z";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Stretches_tell_lowest_mean_and_highest_of_their_readings_and_the_switch_and_the_unread_channel_too()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open()) await Night.WriteAsync(log, 3600);
        await using var page = await Served(folder.Path);
        var answer = await Json(page, $"/api/v1/history?station=sim-river&{Hour}&points=90&channel=vessel_temperature&channel=float_high&channel=tank_light");
        Assert.Equal((40_000, 90, "raw"), (answer.GetProperty("stepMs").GetInt32(), answer.GetProperty("count").GetInt32(), answer.GetProperty("source").GetString()));
        var warmth = answer.GetProperty("series")[0];
        Assert.Equal(("°C", "sim-river", false), (warmth.GetProperty("unit").GetString(), warmth.GetProperty("station").GetString(), warmth.GetProperty("compared").GetBoolean()));
        // Second s reads (312 + s % 40) / 16 °C: a stretch of 40 s has each of the 40 once, from 19.5 to 21.9375, their mean (312 + 19.5) / 16.
        Assert.Equal((19.5, 20.7188, 21.9375), (Value(warmth, "min", 30), Value(warmth, "mean", 30), Value(warmth, "max", 30)));
        Assert.Empty(warmth.GetProperty("gaps").EnumerateArray());
        Assert.Equal(0.0, Value(answer.GetProperty("series")[1], "max", 30));
        var light = answer.GetProperty("series")[2];
        Assert.All(light.GetProperty("mean").EnumerateArray(), value => Assert.Equal(JsonValueKind.Null, value.ValueKind));
        Assert.Equal(JsonValueKind.Null, light.GetProperty("lastMs").ValueKind);
        Assert.Equal(3_600_000, light.GetProperty("gaps")[0][1].GetInt64() - light.GetProperty("gaps")[0][0].GetInt64());
        Assert.Contains(" 1 of the 2 lines has no reading.", await page.Client.GetStringAsync(new Uri($"/stations/sim-river/history?{Hour}&channel=vessel_temperature&channel=tank_light", UriKind.Relative), Stop), StringComparison.Ordinal);
    }

    /// <summary>A clock knows ten-thousandths of a millisecond, and a span that follows it begins between two milliseconds: each of sixty minutes has its own sixty readings, the first 59, for there is none at nought.</summary>
    [Fact]
    public async Task Every_reading_stands_in_its_own_stretch_whatever_the_clock_says_and_the_last_one_too()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open()) await Night.WriteAsync(log, 3600);
        var from = LogFolder.Evening.AddTicks(4567);
        var ask = new HistoryAsk { Channels = [new("sim-river", Core.Channel.VesselTemperature)], From = from, To = from.AddHours(1), Now = from.AddHours(1), Points = 60, Zone = TimeZoneInfo.Utc };
        var line = new HistoryReading(folder.Path).Read(ask, marks: false, Stop).Lines[0].Line;
        Assert.Equal([59, .. Enumerable.Repeat(60L, 59)], line.Bins.Select(bin => bin?.Count ?? 0));
        Assert.Empty(line.Gaps);

        // What was read in the last half minute may wait for its commit; what is older than that and not there is missing.
        ask = ask with { From = from.AddSeconds(30), To = from.AddSeconds(3630), Now = from.AddSeconds(3630), Points = 1800, Waits = LogPace.Longest };
        Assert.Empty(new HistoryReading(folder.Path).Read(ask, marks: false, Stop).Lines[0].Line.Gaps);
        var late = new HistoryReading(folder.Path).Read(ask with { To = from.AddSeconds(3660), Now = from.AddSeconds(3660) }, marks: false, Stop).Lines[0].Line;
        Assert.InRange(Assert.Single(late.Gaps).Length.TotalSeconds, 58, 62);
    }

    [Theory] // by hand: an hour from 20:00 in Greenwich is 01:30 to 02:30 where clocks are five and a half hours ahead; hours of that place begin at 20:30 in Greenwich
    [InlineData(0.0, "20:00")]
    [InlineData(5.5, "20:30")]
    [InlineData(5.75, "20:15")]
    public async Task The_hours_of_a_day_are_those_of_the_place_also_where_its_clocks_are_half_an_hour_off(double ahead, string begins)
    {
        using var folder = new LogFolder();
        using (var log = folder.Open()) await Night.WriteAsync(log, 7200);
        var zone = TimeZoneInfo.CreateCustomTimeZone("off", TimeSpan.FromHours(ahead), "off", "off");
        var ask = new HistoryAsk { Channels = [new("sim-river", Core.Channel.VesselTemperature)], From = LogFolder.Evening, To = LogFolder.Evening.AddHours(2), Now = LogFolder.Evening.AddHours(2), Zone = zone };
        var hours = new HistoryReading(folder.Path).Hours(ask, ask.Channels[0], Stop);
        Assert.Equal(begins, $"{hours.Axis.From.UtcDateTime:HH:mm}");
        Assert.All(hours.Bins, bin => Assert.NotNull(bin));
    }

    [Fact]
    public async Task A_station_that_is_no_longer_watched_can_be_asked_for_and_is_said_to_be_so()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open()) await Night.WriteAsync(log, 600);
        await using var page = await ServedPage.StartAsync(folder.Path, ChartLibrary.Built, MadeUp.NoRun() with { Name = "other", Simulated = false });
        var answer = await Json(page, "/api/v1/history?station=sim-river&span=hour&points=60&channel=vessel_temperature");
        Assert.Equal(LogFolder.Evening.AddSeconds(600).ToUnixTimeMilliseconds(), answer.GetProperty("toMs").GetInt64(), 2000.0); // its last hour, not the clock's
        Assert.Contains(answer.GetProperty("series")[0].GetProperty("mean").EnumerateArray(), value => value.ValueKind == JsonValueKind.Number);

        var own = await page.Client.GetAsync(new Uri("/stations/sim-river/history", UriKind.Relative), Stop);
        Assert.Equal(HttpStatusCode.Found, own.StatusCode);
        Assert.StartsWith("/stations/other/history?span=own&from=", own.Headers.Location!.ToString(), StringComparison.Ordinal);
        var html = await page.Client.GetStringAsync(own.Headers.Location, Stop);
        Assert.Contains("sim-river is no longer watched. It was read last at", html, StringComparison.Ordinal);
        Assert.Contains("<legend>sim-river, no longer watched</legend>", html, StringComparison.Ordinal);

        // A float that was dry all along is drawn between dry and wet, and nothing between them is written beside it.
        var drawn = html[html.IndexOf("aria-label=\"Chart in 0 dry, 1 wet", StringComparison.Ordinal)..];
        var levels = Regex.Matches(drawn[..drawn.IndexOf("</svg>", StringComparison.Ordinal)], "class=\"p-tick\"[^>]*text-anchor=\"end\"[^>]*>([^<]*)<").Select(tick => tick.Groups[1].Value);
        Assert.Equal(["0", "1"], levels.Where(level => !level.Contains(':', StringComparison.Ordinal)));
        Assert.Equal(HttpStatusCode.NotFound, (await page.Client.GetAsync(new Uri("/stations/nobody/history", UriKind.Relative), Stop)).StatusCode);
        var refused = await page.Client.GetAsync(new Uri("/api/v1/history?station=nobody", UriKind.Relative), Stop);
        Assert.Contains("one of other; no longer watched: sim-river", await refused.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_hole_in_the_log_stays_a_hole_and_nothing_is_drawn_over_it()
    {
        using var folder = new LogFolder();
        SummedYear.Write(folder.Path, LogFolder.Station());
        await using var page = await Served(folder.Path, SummedYear.Begin.AddDays(SummedYear.Days));
        var answer = await Json(page, "/api/v1/history?station=sim-river&channel=tank_temperature&channel=tank_conductivity_25c&from=2026-01-01T00:00Z&to=2027-01-01T00:00Z");
        Assert.Equal("QuarterHour", answer.GetProperty("source").GetString());
        var series = answer.GetProperty("series")[0];
        var gap = Assert.Single(series.GetProperty("gaps").EnumerateArray());
        var step = answer.GetProperty("stepMs").GetInt64();
        Assert.InRange(gap[0].GetInt64(), SummedYear.GapFrom.ToUnixTimeMilliseconds(), SummedYear.GapFrom.ToUnixTimeMilliseconds() + step);
        Assert.InRange(gap[1].GetInt64(), SummedYear.GapTo.ToUnixTimeMilliseconds() - step, SummedYear.GapTo.ToUnixTimeMilliseconds());
        var first = (int)((gap[0].GetInt64() - answer.GetProperty("fromMs").GetInt64()) / step);
        Assert.All(Enumerable.Range(first, (int)(TimeSpan.FromDays(6.7).TotalMilliseconds / step)), i => Assert.Null(Value(series, "mean", i)));
        // Each stretch is 5.84 h of the known course; its lowest and highest enclose it, with the noise of 0.05.
        var place = (int)((SummedYear.Begin.AddDays(30).ToUnixTimeMilliseconds() - answer.GetProperty("fromMs").GetInt64()) / step);
        var minutes = Enumerable.Range(0, (int)(step / 60_000)).Select(m => SummedYear.At(Core.Channel.TankTemperature, (int)(place * step / 60_000) + m)).ToList();
        Assert.Equal(minutes.Average(), Value(series, "mean", place)!.Value, 0.03);
        Assert.Equal(minutes.Min(), Value(series, "min", place)!.Value, 0.05);
        Assert.Equal(minutes.Max(), Value(series, "max", place)!.Value, 0.05);

        // From 260 to 200 µS/cm at noon is 23 % of what it was.
        var swung = await Json(page, "/api/v1/history?station=sim-river&channel=tank_temperature&from=2026-07-12T00:00Z&to=2026-07-28T00:00Z&swings=1");
        var swing = swung.GetProperty("marks").EnumerateArray().First(mark => mark.GetProperty("kind").GetString() == "swing" && mark.GetProperty("text").GetString()!.StartsWith("Tank conductivity fell", StringComparison.Ordinal));
        Assert.InRange(swing.GetProperty("atMs").GetInt64() - SummedYear.Step.ToUnixTimeMilliseconds(), -3_600_000, 3_600_000);
        Assert.Matches("^Tank conductivity fell by 2[34]", swing.GetProperty("text").GetString());
    }

    [Fact]
    public async Task What_is_laid_over_is_the_other_span_on_the_same_stretches_and_the_notes_are_marks()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open())
        {
            await Night.WriteAsync(log, 1200);
            new Night(log).Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.WaterChange, At = LogFolder.Evening.AddMinutes(15), By = "Kim", Litres = 20 }));
            await log.CommitAsync(Stop);
        }

        await using var page = await Served(folder.Path);
        var answer = await Json(page, "/api/v1/history?channel=sim-river/tank_conductivity_25c&from=2026-03-14T20:10Z&to=2026-03-14T20:20Z&compare=before&points=10");
        var series = answer.GetProperty("series");
        Assert.Equal((2, false, true), (series.GetArrayLength(), series[0].GetProperty("compared").GetBoolean(), series[1].GetProperty("compared").GetBoolean()));
        Assert.Equal(600_000, series[0].GetProperty("fromMs").GetInt64() - series[1].GetProperty("fromMs").GetInt64());
        var own = await Json(page, "/api/v1/history?channel=sim-river/tank_conductivity_25c&from=2026-03-14T20:00Z&to=2026-03-14T20:10Z&points=10");
        Assert.Equal(own.GetProperty("series")[0].GetProperty("mean").ToString(), series[1].GetProperty("mean").ToString());
        var mark = Assert.Single(answer.GetProperty("marks").EnumerateArray());
        Assert.Equal(("note", 1, LogFolder.Evening.AddMinutes(15).ToUnixTimeMilliseconds()), (mark.GetProperty("kind").GetString(), mark.GetProperty("number").GetInt32(), mark.GetProperty("atMs").GetInt64()));
        Assert.Contains("water-change: 20 L (Kim)", mark.GetProperty("text").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_shown_is_a_file_too()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open()) await Night.WriteAsync(log, 3600);
        await using var page = await Served(folder.Path);
        const string Same = $"?channel=sim-river/vessel_temperature&{Hour}&points=90";
        var rows = (await page.Client.GetStringAsync(new Uri($"/api/v1/history.csv{Same}", UriKind.Relative), Stop)).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal("time_utc,seconds,station,channel,unit,compared,readings,min,mean,max,last", rows[0]);
        Assert.Equal("2026-03-14T20:20:00.000Z,40,sim-river,vessel_temperature,°C,0,40,19.5,20.71875,21.9375,21.9375", rows[31]);
        var records = JsonDocument.Parse(await page.Client.GetStringAsync(new Uri($"/api/v1/history.senml{Same}", UriKind.Relative), Stop)).RootElement;
        // The middle of the 31st stretch; 20 min and 20 s after the hour.
        Assert.Equal(("evenwater/v1/sim-river/vessel_temperature/mean", "Cel", 20.71875, 1773519620.0),
            (records[30].GetProperty("n").GetString(), records[30].GetProperty("u").GetString(), records[30].GetProperty("v").GetDouble(), records[30].GetProperty("t").GetDouble()));

        // RFC 8428, section 4.6: resolved records are in chronological order, of two lines as well.
        var both = JsonDocument.Parse(await page.Client.GetStringAsync(new Uri($"/api/v1/history.senml{Same}&channel=sim-river/tank_temperature", UriKind.Relative), Stop)).RootElement;
        double[] times = [.. both.EnumerateArray().Select(record => record.GetProperty("t").GetDouble())];
        Assert.Equal(times.Order(), times);
        Assert.Equal(2, both.EnumerateArray().Select(record => record.GetProperty("n").GetString()).Distinct().Count());
    }

    private static Task<ServedPage> Served(string log, DateTimeOffset? now = null) =>
        ServedPage.StartAsync(log, ChartLibrary.Built, MadeUp.Night(1) with { Now = now ?? LogFolder.Evening.AddHours(1) });

    private static async Task<JsonElement> Json(ServedPage page, string address) =>
        JsonDocument.Parse(await page.Client.GetStringAsync(new Uri(address, UriKind.Relative), Stop)).RootElement;

    private static double? Value(JsonElement series, string of, int place) =>
        series.GetProperty(of)[place] is { ValueKind: JsonValueKind.Number } value ? value.GetDouble() : null;
}
