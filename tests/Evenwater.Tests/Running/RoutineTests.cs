using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Keeping;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

public sealed class RoutineTests : IDisposable
{
    private static readonly DateTimeOffset Evening = LogFolder.Evening;
    private static readonly Station Weekly = DemoStation.Read() with { Routine = [new() { Kind = Chore.WaterChange, DueEveryDays = 7 }] };

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static Note Changed(double daysAgo) => new() { Kind = NoteKind.WaterChange, By = "Ann", Text = "half", Litres = 60, At = Evening.AddDays(-daysAgo) };

    [Fact]
    public async Task What_is_overdue_by_the_book_is_an_alarm_until_it_is_noted_after_a_restart_too_and_the_log_replays_it()
    {
        using var log = _folder.Open();
        using (var drive = new RigDrive(new SimulatedRig(Weekly, 1, []), new StationState(Weekly), log, MonotonicTime.FromSeconds(1), Evening))
        {
            var directory = new StationDirectory();
            directory.Set(drive.Loop);
            using var notes = new NoteDesk(log, directory);
            drive.Go(3);
            Assert.False(Stands(drive)); // never noted: nobody knows since when
            Assert.True((await notes.WriteAsync(null, Changed(7.1))).Ok);
            drive.Go(3);
            Assert.False(Stands(drive)); // due
            Assert.True((await notes.WriteAsync(null, Changed(7.1) with { At = Evening.AddDays(-8), Corrects = "n1" })).Ok);
            drive.Go(3);
            Assert.True(Stands(drive));
        }

        using var again = new RigDrive(new SimulatedRig(Weekly, 1, []), new StationState(Weekly), log, MonotonicTime.FromSeconds(100), Evening);
        again.Loop.Recall(log.Reader);
        again.Go(3);
        Assert.True(Stands(again));
        log.Flush();
        var replayed = new StationState(Weekly);
        LogReplay.Run(log.Reader.Read(0, 10_000), replayed);
        Assert.True(replayed.AlarmOf(AlarmId.RoutineOverdue).Stands);

        var later = new StationDirectory();
        later.Set(again.Loop);
        using var pen = new NoteDesk(log, later);
        Assert.True((await pen.WriteAsync(null, Changed(0))).Ok);
        again.Go(3);
        Assert.False(again.Loop.State.AlarmOf(AlarmId.RoutineOverdue).Active);
    }

    private static bool Stands(RigDrive drive) => drive.Loop.State.AlarmOf(AlarmId.RoutineOverdue).Stands;
}
