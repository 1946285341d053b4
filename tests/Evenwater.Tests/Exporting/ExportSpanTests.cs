using System.Globalization;
using Evenwater.Exporting;
using Evenwater.Log;
using Evenwater.Log.Blocks;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Exporting;

/// <summary>A span of a long log: all of it, told apart entry by entry, and no more pages read than it stands on.</summary>
public sealed class ExportSpanTests : IDisposable
{
    private const int Cycles = 11_000;

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>Three hours; an hour to a block, of which a page holds up to 1,000 numbers.</summary>
    [Fact]
    public void Ten_minutes_of_three_hours_are_found_by_the_index_of_wall_times()
    {
        Fill();
        using var reader = new LogReader(_folder.Path, busySeconds: 1);
        var ask = new ExportAsk(From: LogFolder.Evening.AddSeconds(6_500), To: LogFolder.Evening.AddSeconds(7_100));
        Assert.Equal((600, 600, true), Rows(reader, ask, 3));
        Assert.Equal((11_000, 11_000, true), Rows(reader, ExportAsk.All, 11));
        Assert.False(Rows(reader, ExportAsk.All, 10).Within); // 1,000 entries a page
        Assert.Equal((5_499, 5_499, true), Rows(reader, new ExportAsk(To: LogFolder.Evening.AddSeconds(5_500)), 6));
        Assert.Equal((0, 0, true), Rows(reader, new ExportAsk(From: LogFolder.Evening.AddYears(1)), 0));

        using var connection = LogFile.OpenForReading(_folder.Path, busySeconds: 1);
        using var explain = connection.Command($"EXPLAIN QUERY PLAN {WallSpan.Blocks}", BlockSql.Span(0, 0));
        using var plan = explain.ExecuteReader();
        Assert.True(plan.Read());
        Assert.Contains("SEARCH block USING INDEX block_by_wall", plan.GetString(3), StringComparison.Ordinal);
        Assert.False(plan.Read());
    }

    /// <summary>With three years of readings a start had read 450 MB for it, by hand, before it did anything else: on a card that is a quarter of a minute.</summary>
    [Fact]
    public void The_highest_number_is_asked_of_the_last_rows_alone()
    {
        _folder.Open().Dispose();
        using var connection = LogFile.OpenForReading(_folder.Path, busySeconds: 1);
        using var explain = connection.CreateCommand();
        explain.CommandText = $"EXPLAIN QUERY PLAN {LogReader.HighestId}";
        explain.Parameters.AddWithValue("$span", 0);
        using var plan = explain.ExecuteReader();
        var steps = new List<string>();
        while (plan.Read()) steps.Add(plan.GetString(3));
        foreach (var table in new[] { BlockSql.Batch, BlockSql.Block }) Assert.Contains($"SEARCH {table} USING INTEGER PRIMARY KEY (rowid>?)", steps);
    }

    [Fact]
    public void What_an_index_finds_is_what_every_entry_tells_wherever_the_clock_was_set_anew()
    {
        using (var log = _folder.Open(LogFolder.Quick with { TidyEvery = 1, MaxCycles = 100_000, Batch = TimeSpan.FromHours(1) }))
        {
            // Every twenty minutes the clock is set: ten days on, back to before, an hour back, half a minute on.
            var night = new Night(log);
            for (var i = 0; i < 3; i++)
            {
                // Years before, and no cycle near: what was left when space took them.
                log.Append(night.Make(EntryKind.Event, LogJson.Write(new EventBody("test", "old"))) with { Wall = LogFolder.Evening.AddYears(-2 + i) });
            }

            var steps = new[] { 0, 864_000, -432_000, -3600, 30 };
            for (var i = 0; i < 6_000; i++)
            {
                var cycle = night.Make(EntryKind.Cycle, null) with { Samples = Night.Raw(i, default) };
                log.Append(cycle with { Wall = cycle.Wall!.Value.AddSeconds(steps[i / 1200]) });
                if (i % 100 == 0)
                {
                    var happened = night.Make(EntryKind.Event, LogJson.Write(new EventBody("test", "x")));
                    log.Append(happened with { Wall = happened.Wall!.Value.AddSeconds(steps[i / 1200]) });
                }

                if (i % 500 == 0)
                {
                    log.Flush();
                }
            }

            log.Flush();
        }

        var all = ExportedLog.All(_folder.Path);
        using var reader = new LogReader(_folder.Path, busySeconds: 1);
        var walls = all.Select(e => e.Wall!.Value).Order().ToList();
        List<ExportAsk> asks =
        [
            new(To: walls[3]), new(From: walls[^1]), new(From: walls[^900]), new(From: walls[0], To: walls[5]),
            new(From: LogFolder.Evening.AddSeconds(600), To: LogFolder.Evening.AddSeconds(5400)), // packed, and not yet
            .. Enumerable.Range(0, (walls.Count - 400) / 611).Select(i => new ExportAsk(From: walls[i * 611], To: walls[(i * 611) + 400])),
        ];
        foreach (var ask in asks)
        {
            Assert.Equal(all.Count(e => ask.Takes(e) && e.Kind == EntryKind.Cycle), Rows(reader, ask, int.MaxValue).Rows);
            var lines = ExportedLog.Line(_folder.Path, ask).Split('\n', StringSplitOptions.RemoveEmptyEntries);
            Assert.Equal(all.Where(ask.Takes).Select(e => e.Id), lines.Select(Servers.Answering.EntryOf));
        }
    }

    [Fact]
    public void What_a_daemon_adds_meanwhile_is_left_to_the_next_time()
    {
        using var log = _folder.Open();
        var night = new Night(log);
        Add(1500);
        using var reader = new LogReader(_folder.Path, busySeconds: 1);
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        foreach (var ask in new[] { ExportAsk.All, new ExportAsk(From: LogFolder.Evening) })
        {
            var there = reader.LastId();
            Assert.Equal(there, LogExport.Run(reader, ask, new CsvExport(text, ask.Wanted), _ => Add(10)).Entries);
        }

        void Add(int cycles)
        {
            for (var i = 0; i < cycles; i++)
            {
                night.Cycle();
            }

            log.Flush();
        }
    }

    private void Fill()
    {
        using var log = _folder.Open(LogFolder.Quick with { TidyEvery = 1, MaxCycles = 100_000, Batch = TimeSpan.FromHours(1) });
        var night = new Night(log);
        for (var i = 1; i <= Cycles; i++)
        {
            night.Cycle();
            if (i % 1000 == 0)
            {
                log.Flush();
            }
        }
    }

    /// <summary>Rows, entries written and pages read; whether there were no more pages than that, and their progress rose to its end.</summary>
    private static (long Rows, long Written, bool Within) Rows(LogReader reader, ExportAsk ask, int most) => Rows(reader, ask) is var (rows, written, shares)
        ? (rows, written, shares.Count <= most && shares.SequenceEqual(shares.Order()) && (shares.Count == 0 || shares[^1] == 1))
        : default;

    private static (long Rows, long Written, List<double> Shares) Rows(LogReader reader, ExportAsk ask)
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        var shares = new List<double>();
        var exported = LogExport.Run(reader, ask, new CsvExport(text, ask.Wanted), shares.Add);
        return (text.ToString().Split("\r\n").Length - 2, exported.Entries, shares);
    }
}
