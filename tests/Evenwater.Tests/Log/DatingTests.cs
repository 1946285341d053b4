using Evenwater.Core;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Tests.Log;

public sealed class DatingTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static Entry Undated(Night night, double second, EntryKind kind = EntryKind.Cycle) => night.Make(kind, kind == EntryKind.Cycle ? null : "{\"name\":\"a\",\"text\":\"b\"}") with
    {
        At = MonotonicTime.FromSeconds(second),
        Wall = null,
        ClockQuality = ClockQuality.Unsynced,
        Samples = kind == EntryKind.Cycle ? Night.Raw(1, MonotonicTime.FromSeconds(second)) : null,
    };

    [Fact]
    public void The_first_entry_with_a_date_dates_those_of_its_station_and_boot_before_it_once_and_for_all()
    {
        using var log = _folder.Open();
        var (night, other) = (new Night(log), new Night(log, "sim-lagoon"));
        var undated = new Undated();
        foreach (var second in new[] { 10.0, 11, 12 })
        {
            Assert.Null(undated.Before(Undated(night, second)));
            log.Append(Undated(night, second));
        }

        log.Append(Undated(night, 12.5, EntryKind.Event));
        log.Append(Undated(other, 12.75));
        log.Flush();
        Assert.All(log.Reader.Read(0, 10), e => Assert.Null(e.Wall));

        var synced = Undated(night, 20) with { Wall = LogFolder.Evening, ClockQuality = ClockQuality.Synced };
        var dating = undated.Before(synced);
        log.Append(dating!);
        log.Append(synced);
        log.Flush();
        Assert.Null(undated.Before(synced));

        var read = log.Reader.Read(0, 10);
        Assert.Equal(["clock-set"], read.Where(e => e.Id == 6).Select(e => LogJson.Read<EventBody>(e.Body!).Name));
        double?[] expected = [-10, -9, -8, -7.5, null, 0, 0];
        Assert.Equal(expected, read.Select(e => (e.Wall - LogFolder.Evening)?.TotalSeconds));
        Assert.All(read.Where(e => e.Id != 5), e => Assert.Equal(ClockQuality.Synced, e.ClockQuality));

        // A clock that is set again dates nothing anew.
        log.Append(dating! with { At = MonotonicTime.FromSeconds(30), Wall = LogFolder.Evening.AddHours(5) });
        log.Flush();
        Assert.Equal(expected, log.Reader.Read(0, 7).Select(e => (e.Wall - LogFolder.Evening)?.TotalSeconds));
    }

    [Fact]
    public void After_a_day_without_a_date_it_is_dated_from_what_the_log_knew_and_flagged()
    {
        using var log = _folder.Open();
        var night = new Night(log);
        log.Append(night.Make(EntryKind.Event, "{\"name\":\"a\",\"text\":\"b\"}") with { Wall = LogFolder.Evening });
        log.Flush();
        var undated = new Undated();
        Assert.Null(undated.Before(Undated(night, 100)));
        log.Append(Undated(night, 100));
        Assert.Null(undated.Before(Undated(night, 100 + 86_400)));
        var dating = undated.Before(Undated(night, 101 + 86_400));
        log.Append(dating!);
        log.Flush();
        var read = log.Reader.Read(1, 10);
        Assert.Equal([0, 86_401], read.Select(e => (e.Wall!.Value - LogFolder.Evening).TotalSeconds));
        Assert.All(read, e => Assert.Equal(ClockQuality.Restored, e.ClockQuality));
    }

    [Fact]
    public void What_a_boot_that_is_over_left_without_a_date_is_dated_by_the_next_start()
    {
        using (var log = _folder.Open())
        {
            var night = new Night(log);
            log.Append(night.Make(EntryKind.Event, "{\"name\":\"a\",\"text\":\"b\"}") with { Wall = LogFolder.Evening });
            log.Append(Undated(night, 50));
            log.Append(Undated(night, 57, EntryKind.Event));
        }

        using var again = _folder.Open();
        Assert.Null(again.Reader.Read(1, 1)[0].Wall);
        again.StartBoot("test", simulated: false);
        Assert.Equal([0, 0, 7], again.Reader.Read(0, 10).Select(e => (e.Wall!.Value - LogFolder.Evening).TotalSeconds));
    }
}
