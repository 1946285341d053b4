using Evenwater.Core;
using Evenwater.Followers;
using Evenwater.Log;

namespace Evenwater.Tests.Log;

/// <summary>The log's figures against what is counted entry by entry.</summary>
public sealed class LogLookTests : IDisposable
{
    private static readonly LogPace Tidy = LogFolder.Quick with { TidyEvery = 1, MaxCycles = 100_000, Batch = TimeSpan.FromHours(1) };

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private List<Entry> Fill(int cycles)
    {
        using var log = _folder.Open(Tidy);
        var (river, lagoon) = (new Night(log), new Night(log, "sim-lagoon"));
        for (var i = 1; i <= cycles; i++)
        {
            river.Cycle();
            if (i % 3 == 0)
            {
                lagoon.Cycle();
                river.Add(EntryKind.Event, new EventBody("test", "x"));
            }

            if (i % 500 == 0)
            {
                log.Flush();
            }
        }

        log.Flush();
        return [.. log.Reader.Read(0, 100_000)];
    }

    /// <summary>A table of the log that lost its one row is a damage to be told in words, as every command tells one; not the trace of a crash.</summary>
    [Theory]
    [InlineData("log")]
    [InlineData("space")]
    public void A_log_whose_own_row_is_gone_is_damaged(string table)
    {
        _folder.Open().Dispose();
        using (var connection = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            connection.Open();
            using var command = connection.CreateCommand();
            command.CommandText = table == "log" ? "DELETE FROM log" : "DELETE FROM space";
            Assert.Equal(1, command.ExecuteNonQuery());
        }

        Assert.Contains($"table {table} is empty", Assert.Throws<InvalidDataException>(() => LogOrigin.Read(_folder.Path, 1)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_followers_lag_is_what_stands_after_its_cursor_packed_or_not()
    {
        var entries = Fill(9_000);
        using var look = new LogLook(_folder.Path, LogFolder.Evening);
        foreach (var cursor in new long[] { 0, 1, 777, 4_321, 9_999, 14_000, 14_999, entries[^1].Id })
        {
            Lane[] lanes = [Lane.Influx, Lane.Words("sim-river"), Lane.ReadingsOf("sim-river"), Lane.ReadingsOf("sim-lagoon"), Lane.Words("sim-lagoon")];
            var lags = look.Figures(lanes, _ => cursor).Followers;
            for (var i = 0; i < lanes.Length; i++)
            {
                var lane = lanes[i];
                var left = entries.Where(e => e.Id > cursor && (lane.Station is null || e.Station == lane.Station)
                    && (e.Kind == EntryKind.Cycle ? lane.Cycles : lane.Others)).ToList();
                Assert.Equal((lane.Cursor, left.Sum(Fitted), (long)left.Count(e => e.Kind != EntryKind.Cycle)), (lags[i].Follower, lags[i].Readings, lags[i].Others));
            }
        }
    }

    /// <summary>One cycle and a second each, for 1,000 s; by the station's own clock, which may run faster than any other.</summary>
    [Fact]
    public async Task The_lag_in_seconds_is_the_age_of_the_oldest_that_the_peer_lacks()
    {
        using (var log = _folder.Open())
        {
            await Night.WriteAsync(log, 1_000);
        }

        using var look = new LogLook(_folder.Path, LogFolder.Evening.AddYears(1));
        double Seconds(long cursor) => Assert.Single(look.Figures([Lane.Influx], _ => cursor).Followers).Seconds;
        Assert.Equal((999, 899, 0, 0), (Seconds(0), Seconds(100), Seconds(999), Seconds(1_000)));
    }

    [Fact]
    public void By_a_real_clock_the_age_is_told_by_the_wall()
    {
        using (var log = _folder.Open())
        {
            var night = new Night(log);
            log.Append(night.Make(EntryKind.Event, LogJson.Write(new EventBody("test", "x"))) with { ClockQuality = ClockQuality.Synced });
            log.Flush();
        }

        using var look = new LogLook(_folder.Path, LogFolder.Evening.AddSeconds(61));
        Assert.Equal((0, 1, 60), Assert.Single(look.Figures([Lane.Influx]).Followers) is var lag ? (lag.Readings, lag.Others, lag.Seconds) : default);
    }

    [Fact]
    public void Size_and_readings_are_those_of_the_file()
    {
        var entries = Fill(3_000);
        using (var log = _folder.Open())
        {
            log.MoveCursor("influxdb", 17);
            log.MoveCursor("mqtt/sim-river/readings", 4);
            log.MoveCursor("of-nobody", 4);
        }

        using var look = new LogLook(_folder.Path, LogFolder.Evening);
        var figures = look.Figures(look.Kept());
        Assert.Equal(new DirectoryInfo(_folder.Path).GetFiles("night.sqlite*").Where(f => !f.Name.EndsWith("-shm", StringComparison.Ordinal)).Sum(f => f.Length), figures.Bytes);
        Assert.Equal((entries[^1].Id, entries.Sum(Fitted)), (figures.LastEntry, figures.Readings));
        Assert.Equal(["influxdb", "mqtt/sim-river/readings"], figures.Followers.Select(f => f.Follower));
        Assert.Equal(entries.Where(e => e.Id > 17).Sum(Fitted), figures.Followers[0].Readings);
        Assert.Equal((double)figures.Bytes / figures.Readings, figures.BytesPerReading);
    }

    private static long Fitted(Entry entry) => entry.Samples is { } samples ? Enumerable.Range(0, Channels.Count).Count(c => samples[c].Reason != Reason.NotFitted) : 0;
}
