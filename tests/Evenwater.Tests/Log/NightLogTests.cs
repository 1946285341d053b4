using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Log;

public sealed class NightLogTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void What_is_appended_is_read_back_equal_also_after_reopening()
    {
        Entry cycle, say;
        using (var log = _folder.Open())
        {
            var night = new Night(log) { RunId = 7 };
            var at = new MonotonicTime(1_234_567_890_123);
            cycle = night.Make(EntryKind.Cycle, null) with { At = at, Samples = Night.Raw(7, at) };
            say = night.Make(EntryKind.Say, LogJson.Write(new SayBody("Steady", "Even at about 02:40, at 23 °C.", 60))) with { Wall = null, RunId = null };
            Assert.Equal(1, log.Append(cycle));
            Assert.Equal(2, log.Append(say));
        }

        using var again = _folder.Open();
        Assert.Equal(2, again.LastId);
        var read = again.Reader.Read(0, 10);
        Assert.Equal([1, 2], read.Select(e => e.Id));
        foreach (var (expected, actual) in new[] { cycle, say }.Zip(read))
        {
            Assert.Equal(
                (expected.BootId, expected.ConfigurationId, expected.Station, expected.RunId, expected.At, expected.Wall, expected.ClockQuality, expected.Kind, expected.Body),
                (actual.BootId, actual.ConfigurationId, actual.Station, actual.RunId, actual.At, actual.Wall, actual.ClockQuality, actual.Kind, actual.Body));
        }

        Assert.Null(read[1].Samples);
        for (var channel = 0; channel < Channels.Count; channel++)
        {
            var expected = cycle.Samples!.Value[channel];
            var actual = read[0].Samples!.Value[channel];
            Assert.Equal(expected, actual);
        }
    }

    [Fact]
    public void The_configuration_is_read_back_as_the_station_it_was()
    {
        using var log = _folder.Open();
        var station = LogFolder.Station();
        var first = log.Configure(station);
        Assert.Equal(first, log.Configure(station));
        var recalibrated = log.Configure(station with
        {
            Sensors = station.Sensors with { VesselConductivity = station.Sensors.VesselConductivity with { CellConstantPerCm = 0.98 } },
        });
        Assert.NotEqual(first, recalibrated);
        Assert.Equal(LogJson.Write(station), LogJson.Write(log.Reader.Configuration(first)));
        Assert.Equal(0.98, log.Reader.Configuration(recalibrated).Sensors.VesselConductivity.CellConstantPerCm);
    }

    [Fact]
    public async Task Cycles_wait_for_their_batch_and_an_event_commits_at_once_with_all_before_it()
    {
        using var log = _folder.Open(LogFolder.Quick with { Batch = TimeSpan.FromHours(1) });
        var night = new Night(log);
        night.Cycle();
        night.Cycle();
        await Task.Delay(300, TestContext.Current.CancellationToken);
        Assert.Equal(0, log.LastId);
        Assert.InRange(log.OldestUncommitted, TimeSpan.FromMilliseconds(250), TimeSpan.FromMinutes(1));

        var trip = night.Add(EntryKind.Trip, new TripBody("high float wet"));
        await log.WaitAfterAsync(trip - 1, TestContext.Current.CancellationToken).WaitAsync(TimeSpan.FromSeconds(30), TestContext.Current.CancellationToken);
        Assert.Equal([EntryKind.Cycle, EntryKind.Cycle, EntryKind.Trip], log.Reader.Read(0, 10).Select(e => e.Kind));
        Assert.Equal(TimeSpan.Zero, log.OldestUncommitted);
    }

    [Fact]
    public async Task A_batch_of_cycles_commits_by_itself_when_its_time_is_up()
    {
        using var log = _folder.Open();
        new Night(log).Cycle();
        await log.WaitAfterAsync(0, TestContext.Current.CancellationToken).WaitAsync(TimeSpan.FromSeconds(30), TestContext.Current.CancellationToken);
        Assert.Equal(1, log.LastId);
    }

    [Fact]
    public async Task CommitAsync_returns_when_the_entry_can_be_read_from_the_file()
    {
        using var log = _folder.Open(LogFolder.Quick with { Batch = TimeSpan.FromHours(1) });
        var night = new Night(log);
        for (var i = 0; i < 20; i++)
        {
            var id = night.Cycle();
            Assert.Equal(id, await log.CommitAsync(TestContext.Current.CancellationToken));
            Assert.Equal(id, Assert.Single(log.Reader.Read(id - 1, 5)).Id);
        }
    }

    [Fact]
    public async Task While_the_disk_fails_it_says_so_keeps_the_entries_and_stores_them_afterwards()
    {
        using var log = _folder.Open(LogFolder.Quick with { MaxCycles = 50, MaxOthers = 5 });
        var night = new Night(log);
        using (var other = new SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var hold = other.BeginTransaction();
            night.Add(EntryKind.Event, new EventBody("test", "1"));
            await Assert.ThrowsAsync<IOException>(() => log.CommitAsync(TestContext.Current.CancellationToken));
            Assert.False(log.Commits);
            for (var i = 0; i < 60; i++)
            {
                night.Cycle();
            }

            Assert.Equal(0, night.Cycle());
            Assert.Equal(52, night.Add(EntryKind.Event, new EventBody("test", "2")));
            Assert.Equal(11, log.Dropped);
            Assert.Equal(0, log.LastId);
        }

        await log.WaitAfterAsync(52, TestContext.Current.CancellationToken).WaitAsync(TimeSpan.FromSeconds(30), TestContext.Current.CancellationToken);
        Assert.True(log.Commits);
        var entries = log.Reader.Read(0, 100);
        Assert.Equal(Enumerable.Range(1, 53).Select(i => (long)i), entries.Select(e => e.Id));
        var said = LogJson.Read<EventBody>(entries[^1].Body!);
        Assert.Equal("not-stored", said.Name);
        Assert.StartsWith("11 cycles and 0 other entries were not stored", said.Text, StringComparison.Ordinal);
    }

    /// <summary>What would be written goes where no later start finds it: an opening and a trip that are "on the disk" were forgotten by the next start.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task While_its_file_is_moved_away_nothing_counts_as_written_and_once_it_is_back_all_is(bool another)
    {
        using var log = _folder.Open(LogFolder.Quick with { Batch = TimeSpan.FromHours(1) });
        var night = new Night(log);
        night.Cycle();
        await log.CommitAsync(TestContext.Current.CancellationToken);
        File.Move(_folder.File, _folder.File + ".away");
        if (another) File.Copy(_folder.File + ".away", _folder.File);
        night.Add(EntryKind.Event, new EventBody("test", "1"));
        var refused = await Assert.ThrowsAsync<IOException>(() => log.CommitAsync(TestContext.Current.CancellationToken));
        Assert.Contains("was moved, deleted or replaced while the program runs", refused.Message, StringComparison.Ordinal);
        Assert.Equal((false, 1, another), (log.Commits, log.LastId, File.Exists(_folder.File))); // and none is begun in its place

        File.Move(_folder.File + ".away", _folder.File, overwrite: true);
        await log.WaitAfterAsync(1, TestContext.Current.CancellationToken).WaitAsync(TimeSpan.FromSeconds(30), TestContext.Current.CancellationToken);
        Assert.Equal((true, 2), (log.Commits, log.LastId));
    }

    [Fact]
    public async Task Append_does_not_wait_for_a_disk_that_does_not_answer()
    {
        using var log = _folder.Open(LogFolder.Quick with { BusySeconds = 10 });
        var night = new Night(log);
        using (var other = new SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var hold = other.BeginTransaction();
            night.Add(EntryKind.Event, new EventBody("test", "the writer now waits for the lock"));
            await Task.Delay(100, TestContext.Current.CancellationToken);
            var started = System.Diagnostics.Stopwatch.GetTimestamp();
            for (var i = 0; i < 100; i++)
            {
                night.Cycle();
            }

            Assert.InRange(System.Diagnostics.Stopwatch.GetElapsedTime(started), TimeSpan.Zero, TimeSpan.FromSeconds(3));
            Assert.Equal(0, log.LastId);
        }

        await log.CommitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(101, log.LastId);
    }

    [Fact]
    public void Many_threads_append_and_the_numbers_are_dense_and_in_order()
    {
        using var log = _folder.Open(LogFolder.Quick with { MaxCycles = 100_000 });
        var nights = Enumerable.Range(0, 4).Select(i => new Night(log, $"sim-{i}")).ToArray();
        Parallel.ForEach(nights, night =>
        {
            for (var i = 0; i < 500; i++)
            {
                night.Cycle();
                if (i % 50 == 0)
                {
                    night.Add(EntryKind.Event, new EventBody("test", "x"));
                }
            }
        });
        log.Flush();
        var entries = log.Reader.Read(0, 10_000);
        Assert.Equal(Enumerable.Range(1, 2040).Select(i => (long)i), entries.Select(e => e.Id));
        foreach (var station in entries.GroupBy(e => e.Station))
        {
            Assert.Equal(station.OrderBy(e => e.At).Select(e => e.Id), station.Select(e => e.Id));
        }
    }

    [Fact]
    public void A_cursor_survives_closing_and_no_entry_is_needed_to_store_it()
    {
        using (var log = _folder.Open())
        {
            Assert.Equal(0, log.Cursor("influxdb"));
            log.MoveCursor("influxdb", 41);
            log.MoveCursor("influxdb", 42);
        }

        using var again = _folder.Open();
        Assert.Equal(42, again.Cursor("influxdb"));
        again.MoveCursor("influxdb", 43);
        again.Flush();
        Assert.Equal(43, again.Reader.Cursors()["influxdb"]);
    }

    [Fact]
    public void Runs_alarms_and_last_words_are_found_by_station()
    {
        using var log = _folder.Open(LogFolder.Quick with { MaxCycles = 10_000 });
        var (river, reef) = (new Night(log), new Night(log, "sim-reef"));
        Assert.Null(log.Reader.Last("sim-river", EntryKind.Run));
        river.RunId = 1;
        river.Add(EntryKind.Run, new RunBody("dripping", "begun"));
        reef.RunId = 2;
        reef.Add(EntryKind.Run, new RunBody("dripping", "begun"));
        for (var i = 0; i < 2500; i++)
        {
            river.Cycle();
            reef.Cycle();
        }

        var alarm = new AlarmBody("flow-low", AlarmStanding.Unacknowledged, Priority.Low, "Drip slower", "nothing", "look at the drip");
        river.Add(EntryKind.Alarm, alarm);
        river.Add(EntryKind.Alarm, alarm with { Name = "brim-near" });
        var cleared = river.Add(EntryKind.Alarm, alarm with { State = AlarmStanding.Normal });
        reef.Add(EntryKind.Alarm, alarm);
        river.Add(EntryKind.Say, new SayBody("Steady", "first", 60));
        var last = river.Add(EntryKind.Say, new SayBody("Steady", "second", 60));
        log.Flush();

        Assert.Equal(1, log.Reader.Last("sim-river", EntryKind.Run)?.RunId);
        Assert.Equal(2, log.Reader.Last("sim-reef", EntryKind.Run)?.RunId);
        Assert.Equal(2, log.Reader.HighestRun());
        Assert.Equal(2501, log.Reader.ReadRun(2).Count(e => e.Kind != EntryKind.Alarm));
        Assert.All(log.Reader.ReadRun(2), e => Assert.Equal("sim-reef", e.Station));
        Assert.Equal([cleared - 1, cleared], log.Reader.Alarms("sim-river").Select(e => e.Id));
        Assert.Equal(last, log.Reader.Last("sim-river", EntryKind.Say)!.Id);
        Assert.Null(log.Reader.Last("sim-reef", EntryKind.Say));
    }

    [Fact]
    public void An_entry_of_an_unknown_boot_or_configuration_is_refused_before_it_can_hold_up_others()
    {
        using var log = _folder.Open();
        var entry = new Night(log).Make(EntryKind.Event, null);
        Assert.Throws<ArgumentOutOfRangeException>(() => log.Append(entry with { BootId = 2 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => log.Append(entry with { ConfigurationId = 0 }));
        Assert.Equal(1, log.Append(entry));
    }
}
