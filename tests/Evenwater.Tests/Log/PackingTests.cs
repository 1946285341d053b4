using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Log;
using Evenwater.Log.Blocks;
using Evenwater.Log.Summaries;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Log;

/// <summary>Batches into blocks and summaries, and the past read out of all three.</summary>
public sealed class PackingTests : IDisposable
{
    private static readonly LogPace Tidy = LogFolder.Quick with { TidyEvery = 1, MaxCycles = 100_000, Batch = TimeSpan.FromHours(1) };
    private static readonly Channel[] Wanted = [Channel.VesselConductivity, Channel.VesselTemperature, Channel.FloatHigh];

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>Cycles a second apart, with an event now and again, committed some at a time.</summary>
    private static List<Entry> Fill(NightLog log, int cycles, int batch, long? run = 5)
    {
        var night = new Night(log) { RunId = run };
        var random = new Random(11);
        var made = new List<Entry>();
        for (var i = 1; i <= cycles; i++)
        {
            var at = MonotonicTime.FromSeconds(i);
            var samples = Night.Raw(1, at);
            samples[Channel.VesselConductivity] = RawSample.Of(11_000 + (int)(4 * random.NextDouble()) + (i / 90), at.Plus(-0.25));
            samples[Channel.VesselTemperature] = i % 400 < 20 ? RawSample.Missing(Reason.NoAnswer, at) : RawSample.Of(330 + (i / 1000), at.Plus(-0.75));
            var entry = night.Make(EntryKind.Cycle, "{\"valveOpen\":true}") with { At = at, Wall = LogFolder.Evening.AddSeconds(i), Samples = samples };
            made.Add(entry with { Id = log.Append(entry) });
            if (i % 1000 == 0)
            {
                var other = night.Make(EntryKind.Event, LogJson.Write(new EventBody("test", $"{i}"))) with { At = at, Wall = LogFolder.Evening.AddSeconds(i) };
                made.Add(other with { Id = log.Append(other) });
            }

            if (i % batch == 0)
            {
                log.Flush();
            }
        }

        log.Flush();
        return made;
    }

    private long Number(string sql)
    {
        using var connection = new SqliteConnection($"Data Source={_folder.File};Pooling=False;Mode=ReadOnly");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return Convert.ToInt64(command.ExecuteScalar(), System.Globalization.CultureInfo.InvariantCulture);
    }

    private static List<Entry> All(NightLog log, int page)
    {
        var (all, after) = (new List<Entry>(), 0L);
        while (log.Reader.Read(after, page) is { Count: > 0 } entries)
        {
            all.AddRange(entries);
            after = entries[^1].Id;
        }

        return all;
    }

    [Fact]
    public void Packed_or_not_all_is_read_back_in_order_by_page_and_by_run()
    {
        List<Entry> made;
        using (var log = _folder.Open(Tidy))
        {
            made = Fill(log, 9_000, 100);
            Assert.Equal(2, Number("SELECT count(*) FROM block"));
            Assert.Equal(9_000, Number("SELECT (SELECT sum(count) FROM block) + (SELECT sum(count) FROM batch)"));
            Assert.InRange(Number("SELECT sum(count) FROM batch"), 1, 3_600);
            foreach (var page in new[] { 1_000, 77, 20_000 })
            {
                BlockCodecTests.Same(made, All(log, page));
            }

            BlockCodecTests.Same(made, [.. log.Reader.ReadRun(5)]);
            using (var connection = LogFile.OpenForReading(_folder.Path, 1))
            using (var transaction = connection.BeginTransaction(deferred: true))
            {
                // Not all of it at once: a restart in a run of a day and a half had taken 200 MB for it, by hand, where 100 do.
                Assert.InRange(new CycleReader(connection).OfRun(5, 0).Count, 1, 2 * BlockRow.MostCycles);
            }

            foreach (var cycles in new[] { true, false })
            {
                var (lane, after) = (new List<Entry>(), 0L);
                while (log.Reader.Read(after, 130, cycles) is { Count: > 0 } part)
                {
                    lane.AddRange(part);
                    after = part[^1].Id;
                }

                BlockCodecTests.Same([.. made.Where(e => e.Kind == EntryKind.Cycle == cycles)], lane);
            }

            BlockCodecTests.Same(made[3_000..3_010], log.Reader.Read(made[2_999].Id, 10));
        }

        using var again = _folder.Open(Tidy);
        Assert.Equal(made[^1].Id, again.LastId);
        BlockCodecTests.Same(made, All(again, 1_000));
    }

    [Fact]
    public void No_cycle_is_missed_by_its_date_though_the_clock_was_set_back_an_hour_in_the_midst()
    {
        using var log = _folder.Open(Tidy);
        var night = new Night(log);
        var evening = LogFolder.Evening;
        for (var i = 1; i <= 4_000; i++)
        {
            // Slewed by 1 in 1 000 all the time; at 1 500 s set back by an hour.
            var at = MonotonicTime.FromSeconds(i);
            var wall = evening.AddSeconds((i * 1.001) - (i >= 1_500 ? 3_600 : 0));
            log.Append(night.Make(EntryKind.Cycle, null) with { At = at, Wall = wall, Samples = Night.Raw(1, at) });
            if (i % 100 == 0)
            {
                log.Flush();
            }
        }

        log.Flush();
        Assert.True(Number("SELECT count(*) FROM block") > 0);
        using var history = new History(_folder.Path);
        foreach (var (from, to, expected) in new[] { (0, 1_501, 1_903L), (-2_000, -10, 1_988L), (-2_100, 1_600, 4_000L), (-60, -50, 10L), (1_480, 1_490, 10L) })
        {
            // Half a second off, so that no cycle lies on an edge.
            var past = history.Read("sim-river", [Channel.VesselConductivity], evening.AddSeconds(from + 0.5), evening.AddSeconds(to + 0.5), 1_000, TestContext.Current.CancellationToken);
            Assert.Equal(expected, past.Series[Channel.VesselConductivity].Sum(b => b.Count));
        }
    }

    [Fact]
    public void No_cycle_is_missed_by_its_date_though_the_clock_was_set_back_a_little_within_a_block()
    {
        using var log = _folder.Open(Tidy);
        var night = new Night(log);
        for (var i = 1; i <= 4_000; i++)
        {
            // By 9 s, shortly before the block ends: its last cycle is not its latest.
            var at = MonotonicTime.FromSeconds(i);
            log.Append(night.Make(EntryKind.Cycle, null) with { At = at, Wall = LogFolder.Evening.AddSeconds(i < 3_595 ? i : i - 9), Samples = Night.Raw(1, at) });
            if (i % 100 == 0)
            {
                log.Flush();
            }
        }

        log.Flush();
        Assert.Equal(3_591_000, Number("SELECT last_wall_ms FROM block") - LogFolder.Evening.ToUnixTimeMilliseconds());
        using var history = new History(_folder.Path);
        var past = history.Read("sim-river", [Channel.VesselConductivity], LogFolder.Evening.AddSeconds(3_591.5), LogFolder.Evening.AddSeconds(3_594.5), 100, TestContext.Current.CancellationToken);
        Assert.Equal(6, past.Series[Channel.VesselConductivity].Sum(b => b.Count)); // each second twice
    }

    [Fact]
    public void No_reading_counts_twice_though_the_log_begins_with_a_clock_that_was_a_year_ahead()
    {
        using var log = _folder.Open(Tidy);
        var night = new Night(log);
        for (var i = 1; i <= 4_000; i++)
        {
            var at = MonotonicTime.FromSeconds(i);
            log.Append(night.Make(EntryKind.Cycle, null) with { At = at, Wall = LogFolder.Evening.AddSeconds(i).AddDays(i <= 100 ? 365 : 0), Samples = Night.Raw(1, at) });
            if (i % 100 == 0)
            {
                log.Flush();
            }
        }

        log.Flush();
        Assert.Equal(2, Number("SELECT count(*) FROM block"));
        using var history = new History(_folder.Path);
        foreach (var points in new[] { 60, 1_000 })
        {
            var past = history.Read("sim-river", [Channel.VesselConductivity], LogFolder.Evening, LogFolder.Evening.AddSeconds(6_000), points, TestContext.Current.CancellationToken);
            Assert.Equal(points == 60 ? "Minute" : "raw", past.Source);
            Assert.Equal(3_900, past.Series[Channel.VesselConductivity].Sum(b => b.Count));
        }
    }

    [Fact]
    public void Stations_that_take_turns_are_packed_apart_and_read_back_in_order()
    {
        using var log = _folder.Open(Tidy);
        var made = new List<Entry>();
        Night[] nights = [new(log, "sim-river"), new(log, "sim-lagoon")];
        for (var i = 1; i <= 8_000; i++)
        {
            foreach (var night in nights)
            {
                var at = MonotonicTime.FromSeconds(i);
                var entry = night.Make(EntryKind.Cycle, null) with { At = at, Wall = LogFolder.Evening.AddSeconds(i), Samples = Night.Raw(i % 2, at) };
                made.Add(entry with { Id = log.Append(entry) });
            }

            if (i % 50 == 0)
            {
                log.Flush();
            }
        }

        log.Flush();
        Assert.Equal(4, Number("SELECT count(*) FROM block"));
        BlockCodecTests.Same(made, All(log, 500));
    }

    /// <summary>The same arithmetic over all entries at once, in the plainest way.</summary>
    private static List<Bucket> Plain(IEnumerable<Entry> made, Channel channel, long fromMs, long toMs, long stepMs)
    {
        var station = LogFolder.Station();
        return [.. made.Where(e => e.Samples is not null)
            .Select(e => (Ms: e.Wall!.Value.ToUnixTimeMilliseconds(), Reading: Calibrate.Apply(e.Samples!.Value, station.Sensors)[channel]))
            .Where(e => e.Ms >= fromMs && e.Ms < toMs && e.Reading.TryGet(out _))
            .Select(e => (e.Ms, Value: e.Reading.TryGet(out var value) ? value : 0))
            .GroupBy(e => (e.Ms - fromMs) / stepMs)
            .Select(g => new Bucket(fromMs + (g.Key * stepMs), g.Count(), g.Min(e => e.Value), g.Average(e => e.Value), g.Max(e => e.Value), g.Last().Value))];
    }

    private static void Near(IReadOnlyList<Bucket> expected, IReadOnlyList<Bucket> actual, double within)
    {
        Assert.Equal(expected.Select(b => (b.StartMs, b.Count)), actual.Select(b => (b.StartMs, b.Count)));
        foreach (var (a, b) in expected.Zip(actual))
        {
            Assert.Equal(a.Min, b.Min, within);
            Assert.Equal(a.Mean, b.Mean, within);
            Assert.Equal(a.Max, b.Max, within);
            Assert.Equal(a.Last, b.Last, within);
        }
    }

    [Theory]
    [InlineData(0, 10_800, 1_500, "raw")]
    [InlineData(5_000, 5_100, 100, "raw")]
    [InlineData(0, 10_800, 180, "Minute")]
    [InlineData(60, 10_860, 12, "QuarterHour")]
    [InlineData(-64_800, 21_600, 1, "Day")]
    public void The_past_is_the_same_from_whatever_it_is_made(int fromSecond, int toSecond, int points, string source)
    {
        using var log = _folder.Open(Tidy);
        var made = Fill(log, 10_000, 250);
        using var history = new History(_folder.Path);

        // Spans that begin with a quarter-hour or a day of UTC, as summaries do: otherwise a bucket of a summary belongs where it begins.
        var from = DateTimeOffset.FromUnixTimeMilliseconds(Grains.Floor(LogFolder.Evening.AddSeconds(fromSecond).ToUnixTimeMilliseconds(), source == "Day" ? 86_400_000 : source == "QuarterHour" ? 900_000 : 1000));
        var to = from.AddSeconds(source == "Day" ? 86_400 : toSecond - fromSecond);
        var past = history.Read("sim-river", Wanted, from, to, points, TestContext.Current.CancellationToken);
        Assert.Equal(source, past.Source);
        foreach (var channel in Wanted)
        {
            var expected = Plain(made, channel, from.ToUnixTimeMilliseconds(), to.ToUnixTimeMilliseconds(), past.StepMs);
            Assert.NotEmpty(expected);
            Near(expected, past.Series[channel], 0.5 / SummaryCodec.Steps(channel) * 1.01);
        }
    }

    /// <summary>Else nothing is packed any more, nothing makes room, and the disk fills.</summary>
    [Fact]
    public void A_damaged_batch_stays_as_it_is_and_holds_up_no_other()
    {
        using (var log = _folder.Open(Tidy with { TidyEvery = int.MaxValue }))
        {
            Fill(log, 9_000, 250);
        }

        using (var other = new SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "UPDATE batch SET columns = x'0000' WHERE first_id = (SELECT min(first_id) FROM batch)";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        Assert.Equal((36, 0), (Number("SELECT count(*) FROM batch"), Number("SELECT count(*) FROM block")));
        using (var log = _folder.Open(Tidy))
        {
            var night = new Night(log);
            for (var commit = 0; commit < 3; commit++)
            {
                night.Add(EntryKind.Event, new EventBody("test", "more")); // a block a commit
                log.Flush();
            }
        }

        Assert.NotEqual(0, Number("SELECT count(*) FROM block"));
        Assert.Equal(1, Number("SELECT min(first_id) FROM batch"));
    }

    /// <summary>Else nothing is packed any more either. Quarters of an hour and days are made anew of what is finer, and are what they would have been.</summary>
    [Fact]
    public void A_damaged_summary_is_made_anew_and_holds_up_no_packing()
    {
        List<Entry> made;
        using (var log = _folder.Open(Tidy))
        {
            made = Fill(log, 5_000, 200);
            Assert.Equal(1, Number("SELECT count(*) FROM block"));
            using (var other = new SqliteConnection($"Data Source={_folder.File};Pooling=False"))
            {
                other.Open();
                using var spoil = other.CreateCommand();
                spoil.CommandText = $"UPDATE summary SET columns = x'07' WHERE grain <> {(int)Grain.Minute}; UPDATE summary SET columns = x'07' WHERE channel = {(int)Channel.FloatHigh}";
                Assert.InRange(spoil.ExecuteNonQuery(), 6, 100);
            }

            made = Fill(log, 5_000, 200); // the very same times once more: a second boot
            Assert.Equal(2, Number("SELECT count(*) FROM block"));
        }

        using var history = new History(_folder.Path);
        var from = DateTimeOffset.FromUnixTimeMilliseconds(Grains.Floor(LogFolder.Evening.ToUnixTimeMilliseconds(), 86_400_000));
        foreach (var (points, source) in new[] { (96, "QuarterHour"), (1, "Day") })
        {
            var past = history.Read("sim-river", Wanted, from, from.AddDays(1), points, TestContext.Current.CancellationToken);
            Assert.Equal((source, 0), (past.Source, history.Damaged));
                        Assert.InRange(past.Series[Channel.VesselConductivity].Sum(bucket => bucket.Count), 9_400, 9_600); // its thermometer answers in 380 of 400
            var twice = Plain(made, Channel.VesselConductivity, from.ToUnixTimeMilliseconds(), from.AddDays(1).ToUnixTimeMilliseconds(), past.StepMs).ConvertAll(bucket => bucket with { Count = 2 * bucket.Count });
            Near(twice, past.Series[Channel.VesselConductivity], 0.5 / SummaryCodec.Steps(Channel.VesselConductivity) * 1.01);
            Assert.Equal(10_000 - 3_600, past.Series[Channel.FloatHigh].Sum(bucket => bucket.Count)); // its minutes began anew
        }
    }

    [Fact]
    public void When_space_is_wanting_the_oldest_raw_readings_go_and_their_minutes_stay()
    {
        long dropped;
        List<Entry> made;
        using (var log = _folder.Open(Tidy))
        {
            made = Fill(log, 11_000, 250, run: null); // what belongs to a run under way would stay
        }

        using (var log = _folder.Open(Tidy with { BudgetBytes = 1 }))
        {
            var night = new Night(log);
            night.Add(EntryKind.Event, new EventBody("test", "more"));
            log.Flush();
            log.Append(night.Make(EntryKind.Cycle, null) with { Wall = LogFolder.Evening.AddSeconds(20_000), Samples = Night.Raw(1, MonotonicTime.FromSeconds(2)) });
            log.Flush();
            night.Add(EntryKind.Event, new EventBody("test", "and more"));
            log.Flush();
        }

        dropped = Number("SELECT dropped_to FROM space");
        Assert.Equal(0, Number("SELECT count(*) FROM block"));
        Assert.InRange(dropped, 10_000, 11_000);
        using var again = _folder.Open();
        var left = All(again, 1_000);
        Assert.Equal(made.Count(e => e.Kind == EntryKind.Event) + 2, left.Count(e => e.Kind == EntryKind.Event));
        BlockCodecTests.Same([.. made.Where(e => e.Kind == EntryKind.Event || e.Id > dropped)], left[..^3]);

        using var history = new History(_folder.Path);
        var from = LogFolder.Evening;
        var past = history.Read("sim-river", [Channel.VesselConductivity], from, from.AddSeconds(9_000), 9_000, TestContext.Current.CancellationToken);
        Assert.Equal("raw", past.Source);
        Near(
            [.. Plain(made, Channel.VesselConductivity, from.ToUnixTimeMilliseconds(), from.AddSeconds(9_000).ToUnixTimeMilliseconds(), 60_000)],
            past.Series[Channel.VesselConductivity], 0.5 / SummaryCodec.Steps(Channel.VesselConductivity) * 1.01);
    }
}
