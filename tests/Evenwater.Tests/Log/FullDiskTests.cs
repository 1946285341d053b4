using System.Diagnostics;
using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Exporting;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Exporting;
using Evenwater.Tests.Running;
using Evenwater.Tests.Store;

namespace Evenwater.Tests.Log;

/// <summary>A disk of its own, so small that it is soon full: a tmpfs, which root alone can mount.</summary>
public sealed class FullDiskTests : IDisposable
{
    private readonly DirectoryInfo _disk = Directory.CreateTempSubdirectory("evenwater-disk-");
    private readonly bool _mounted;

    public FullDiskTests() => _mounted = RootTool.Run("mount", "-t", "tmpfs", "-o", "size=40m", "tmpfs", _disk.FullName);

    public void Dispose()
    {
        if (_mounted)
        {
            RootTool.Run("umount", "-l", _disk.FullName);
        }

        _disk.Delete();
    }

    private void Resize(int megabytes) => Assert.True(RootTool.Run("mount", "-o", $"remount,size={megabytes}m", _disk.FullName));

    /// <summary>The file is sound, and another copy of it would help nobody.</summary>
    [Fact]
    public void An_import_onto_a_full_disk_says_so_and_blames_no_line()
    {
        Assert.SkipUnless(_mounted, "no small disk can be mounted here: this needs root");
        using var log = new ExportedLog();
        var text = ExportedLog.Whole(log.Fill(1_200).Folder.Path);
        Resize(1);
        File.WriteAllBytes(Path.Combine(_disk.FullName, "ballast"), new byte[850_000]);
        var refused = Assert.ThrowsAny<IOException>(() => LogImport.Run(new StringReader(text), Path.Combine(_disk.FullName, "copy"), _ => { }));
        Assert.Contains("the new log can not be written (SQLite Error 13: 'database or disk is full'.). Nothing was imported; make room, or name a folder on another disk.", refused.Message, StringComparison.Ordinal);
        Assert.Equal(["ballast"], Directory.EnumerateFileSystemEntries(_disk.FullName).Select(Path.GetFileName));
    }

    [Fact]
    public async Task A_full_disk_costs_the_oldest_raw_readings_and_no_event_and_goes_on_by_itself()
    {
        Assert.SkipUnless(_mounted, "no small disk can be mounted here: this needs root");
        var pace = LogFolder.Quick with { Batch = TimeSpan.FromHours(1), MaxCycles = 100_000, KeepReserve = true, TidyEvery = 600 };
        using var log = NightLog.Open(_disk.FullName, pace: pace);
        var year = new LifelikeYear(4);
        year.Write(log, 40_000, 3_000);
        var reserve = Path.Combine(_disk.FullName, Reserve.Name);
        Assert.Equal(Reserve.Bytes, new FileInfo(reserve).Length);

        var night = new Night(log);

        // Somebody else fills the disk, to the last byte.
        var ballast = Path.Combine(_disk.FullName, "ballast");
        RootTool.Run("dd", "if=/dev/zero", $"of={ballast}", "bs=1M");
        var events = 0;
        for (var i = 1; i <= 400; i++)
        {
            for (var cycle = 0; cycle < 100; cycle++)
            {
                night.Cycle();
            }

            night.Add(EntryKind.Event, new EventBody("test", $"number {++events}, {new string('x', 1_000)}"));
            await CommitAsync(log);
        }

        Assert.False(File.Exists(reserve));
        using (var history = new History(_disk.FullName))
        {
            var past = history.Read(LifelikeYear.Station.Name, [Channel.Level], LifelikeYear.Begin, LifelikeYear.Begin.AddSeconds(3_600), 60, TestContext.Current.CancellationToken);
            Assert.Equal(60, past.Series[Channel.Level].Count);
        }

        var left = log.Reader.Read(0, 1_000_000, cycles: false);
        Assert.Equal(events, left.Count(e => e.Kind == EntryKind.Event));
        Assert.True(log.Reader.Read(0, 1, cycles: true)[0].Id > 3_000, "no raw reading had to go");

        File.Delete(ballast);
        for (var i = 0; i < 20 && !File.Exists(reserve); i++)
        {
            night.Cycle();
            await CommitAsync(log);
        }

        Assert.True(File.Exists(reserve), "the room that is held free was not made again");
    }

    /// <summary>The power goes while the disk is full: without its log the program would not come back, and nobody would watch.</summary>
    [Fact]
    public async Task A_start_on_a_full_disk_takes_the_reserve_and_without_one_it_says_what_is_wrong()
    {
        Assert.SkipUnless(_mounted, "no small disk can be mounted here: this needs root");
        var pace = LogFolder.Quick with { KeepReserve = true, TidyEvery = 1 };
        using (var log = NightLog.Open(_disk.FullName, pace: pace))
        {
            new Night(log).Cycle();
            await CommitAsync(log);
        }

        var reserve = Path.Combine(_disk.FullName, Reserve.Name);
        Assert.True(File.Exists(reserve));
        RootTool.Run("dd", "if=/dev/zero", $"of={Path.Combine(_disk.FullName, "ballast")}", "bs=4k");
        using (var log = NightLog.Open(_disk.FullName, pace: pace))
        {
            Assert.False(File.Exists(reserve));
            new Night(log).Add(EntryKind.Event, new EventBody("test", "goes on"));
            await CommitAsync(log);
            Assert.True(log.Commits);
        }

        RootTool.Run("dd", "if=/dev/zero", $"of={Path.Combine(_disk.FullName, "more")}", "bs=4k");
        var refused = Assert.Throws<LogUnusableException>(() => NightLog.Open(_disk.FullName, pace: pace));
        Assert.Contains("its disk is full", refused.Message, StringComparison.Ordinal);
        Assert.Contains("make room", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Without_a_reserve_a_full_disk_stops_the_log_and_costs_no_readings_when_there_is_room_again()
    {
        Assert.SkipUnless(_mounted, "no small disk can be mounted here: this needs root");
        using var log = NightLog.Open(_disk.FullName, pace: LogFolder.Quick with { Batch = TimeSpan.FromHours(1), MaxCycles = 100_000, TidyEvery = 5_000 });
        new LifelikeYear(4).Write(log, 20_000, 5_000);
        var night = new Night(log);
        var ballast = Path.Combine(_disk.FullName, "ballast");
        RootTool.Run("dd", "if=/dev/zero", $"of={ballast}", "bs=1M");
        night.Add(EntryKind.Event, new EventBody("test", new string('x', 200_000)));
        await Assert.ThrowsAsync<IOException>(() => log.CommitAsync(TestContext.Current.CancellationToken));
        File.Delete(ballast);
        for (var i = 0; i < 20; i++)
        {
            night.Add(EntryKind.Event, new EventBody("test", new string('x', 20_000)));
            await CommitAsync(log);
        }

        Assert.Equal(1, log.Reader.Read(0, 1, cycles: true)[0].Id);
    }

    [Fact]
    public void A_disk_that_fills_up_is_told_in_time_and_closes_nothing()
    {
        Assert.SkipUnless(_mounted, "no small disk can be mounted here: this needs root");
        Resize(400);
        using var log = NightLog.Open(_disk.FullName, pace: LogFolder.Quick with { LookForRoom = TimeSpan.Zero });
        var station = DemoStation.Read();
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), LogFolder.Evening);
        drive.Begin();
        Settle(400, DiskRoom.Plenty);
        Assert.Equal((AlarmStanding.Normal, AlarmStanding.Normal), Standing());
        Settle(150, DiskRoom.Short);
        Assert.Equal((AlarmStanding.Unacknowledged, AlarmStanding.Normal), Standing());
        Settle(45, DiskRoom.NearlyFull);
        Assert.Equal((AlarmStanding.SuppressedByDesign, AlarmStanding.Unacknowledged), Standing());
        Assert.Equal(Phase.Dripping, drive.Loop.State.Phase);
        log.Flush();
        var replayed = new StationState(station);
        LogReplay.Run(log.Reader.Read(0, 100_000), replayed);
        Assert.Equal(AlarmStanding.Unacknowledged, replayed.AlarmOf(AlarmId.DiskNearlyFull).Standing);
        Settle(400, DiskRoom.Plenty);
        Assert.Equal((AlarmStanding.Normal, AlarmStanding.ReturnedUnacknowledged), Standing());

        (AlarmStanding Short, AlarmStanding NearlyFull) Standing() =>
            (drive.Loop.State.AlarmOf(AlarmId.DiskShort).Standing, drive.Loop.State.AlarmOf(AlarmId.DiskNearlyFull).Standing);

        void Settle(int megabytes, DiskRoom seen)
        {
            Resize(megabytes);
            drive.Go(5);
            log.Flush(); // a look comes after each commit, on a thread of its own
            Assert.True(SpinWait.SpinUntil(() => log.Room == seen, TimeSpan.FromSeconds(20)), $"{megabytes} MB: {log.Room}");
            drive.Go(130);
        }
    }

    /// <summary>As the daemon does: it waits, and nobody helps.</summary>
    private static async Task CommitAsync(NightLog log)
    {
        for (var waited = Stopwatch.StartNew(); waited.Elapsed < TimeSpan.FromSeconds(20);)
        {
            try
            {
                await log.CommitAsync(TestContext.Current.CancellationToken);
                return;
            }
            catch (IOException)
            {
                await Task.Delay(20, TestContext.Current.CancellationToken);
            }
        }

        Assert.Fail("the log did not commit again within 20 s");
    }
}
