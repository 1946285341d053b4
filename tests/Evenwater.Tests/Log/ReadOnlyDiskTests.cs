using System.Diagnostics;
using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Evenwater.Tests.Running;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Log;

/// <summary>
/// A card that the kernel has made read-only, as it does after an error: an ext4 file system of its own in a file, which root alone can mount; "abort" makes the kernel
/// do to it what it does when a block can not be written (ext4(5)).
/// </summary>
public sealed class ReadOnlyDiskTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-card-");
    private readonly bool _mounted;

    public ReadOnlyDiskTests()
    {
        Directory.CreateDirectory(Disk);
        _mounted = RootTool.Run("dd", "if=/dev/zero", $"of={Card}", "bs=1M", "count=32") && RootTool.Run("mkfs.ext4", "-q", Card) && Mount();
    }

    private string Card => Path.Combine(_folder.FullName, "card");

    private string Disk => Path.Combine(_folder.FullName, "disk");

    public void Dispose()
    {
        RootTool.Run("umount", "-l", Disk);
        _folder.Delete(recursive: true);
    }

    [Fact]
    public void A_log_on_a_card_that_can_only_be_read_is_looked_at_when_it_was_closed_and_else_what_to_copy_is_said()
    {
        Assert.SkipUnless(_mounted, "no file system can be mounted from a file here: this needs root and a loop device");
        var strange = Path.Combine(Disk, "a card#1 50%?");
        using (var log = NightLog.Open(strange, pace: LogFolder.Quick))
        {
            new Night(log).Cycle();
            log.Flush();
            Directory.CreateDirectory(Path.Combine(Disk, "cut"));
            foreach (var part in new[] { "", "-wal" }) File.Copy(Path.Combine(strange, LogFile.Name + part), Path.Combine(Disk, "cut", LogFile.Name + part));
        }

        Assert.True(RootTool.Run("mount", "-o", "remount,ro", Disk));
        using (var reader = new LogReader(strange, 1)) Assert.Equal(["sim-river"], reader.Stations());
        var refused = Assert.Throws<SqliteException>(() => new LogReader(Path.Combine(Disk, "cut"), 1)); // what stands in the -wal file is not passed over
        Assert.Contains("copy it with its -wal file to a folder", LogFile.Explain("it", refused), StringComparison.Ordinal);

        // Nobody holds it: a start had waited for whoever was named last in the folder, and told to end him.
        var unlocked = Assert.Throws<IOException>(() => StateLock.Take(strange, out _));
        Assert.Contains($"{strange} can not be written (Read-only file system", unlocked.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_disk_that_turns_read_only_closes_the_valve_calls_and_begins_closed_again_when_it_was_mended()
    {
        Assert.SkipUnless(_mounted, "no file system can be mounted from a file here: this needs root and a loop device");
        var station = DemoStation.Read();
        long before;
        using (var log = NightLog.Open(Disk, pace: LogFolder.Quick with { KeepReserve = true }))
        using (var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), LogFolder.Evening))
        {
            drive.Begin();
            drive.Go(60);
            log.Flush();
            Assert.Equal(Phase.Dripping, drive.Loop.State.Phase);
            before = log.LastId;

            Assert.True(RootTool.Run("mount", "-o", "remount,abort", Disk));
            drive.Go(5);
            for (var waited = Stopwatch.StartNew(); log.Commits && waited.Elapsed < TimeSpan.FromSeconds(20);)
            {
                Thread.Sleep(20);
            }

            Assert.False(log.Commits);
            drive.Go(5);
            Assert.Equal((Phase.Tripped, Trip.LogLost, false), (drive.Loop.State.Phase, drive.Loop.State.Trip, drive.Rig.ValveOpen));
            Assert.Equal(AlarmStanding.Unacknowledged, drive.Loop.State.AlarmOf(AlarmId.LogLost).Standing);
            Assert.Throws<IOException>(log.Flush);
            drive.Go(60);
            Assert.Equal(0, log.Dropped);
            Assert.False(drive.Rig.ValveOpen);
        }

        // The kernel gives such a card back only to a new mount, that is after a restart: what was not on it is gone, and what is on it is whole.
        Assert.True(RootTool.Run("umount", Disk) && Mount());
        Assert.Null(DamagedLog.SetAside(Disk, LogFolder.Evening));
        using var again = NightLog.Open(Disk, pace: LogFolder.Quick);
        Assert.Equal(before, again.LastId);
        var restart = Restart.Of(again, station, TimeProvider.System);
        Assert.True(restart.WasOpen);
        using var later = new RigDrive(new SimulatedRig(station, 1, []), restart.State, again, restart.Clock.Now, LogFolder.Evening);
        restart.Ask(later.Loop, "test");
        later.Go(60);
        Assert.Equal((Phase.Holding, false), (later.Loop.State.Phase, later.EverOpen));
    }

    private bool Mount() => RootTool.Run("mount", "-o", "loop", Card, Disk);
}
