using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>A station whose board comes late, or not at all: it stays closed, says what is missing, and goes on when the board is there.</summary>
public sealed class LateDevicesTests : IDisposable
{
    private const string Why = "sensors.i2cBus 1 cannot be opened: no such file.";
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task It_stays_closed_and_calls_until_its_board_is_there_and_goes_on_then()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        var (rig, tries) = (new SimulatedRig(station, 1, []), 0);
        var late = new LateDevices(station, () => ++tries < 8 ? throw new IOException(Why) : StationDevices.OnRig(station.Sensors, rig));
        using var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1), late: late);
        drive.Go(5);
        Assert.Equal((StateWord.CannotTell, "The station's board does not answer yet."), (drive.Loop.Say.Word, drive.Loop.Say.Text)); // not "Steady" of what nobody watches
        var begun = drive.Loop.Ask(new Asking(Verb.Begin, "test"));
        drive.Go(2);
        Assert.Equal(new Answer(false, $"Refused: the board of {station.Name} can not be opened. {Why}"), await begun);
        Assert.Contains($"board: can not be opened: {Why}", StatusText.Of(drive.Loop), StringComparison.Ordinal);
        Assert.Equal($"refused\nThe board of {station.Name} can not be opened. {Why}", drive.Loop.Proof.Obey("begin Ann").Text); // else every part of it would fail, and that be kept
        drive.Go(60);
        Assert.Equal((7, false), (tries, drive.EverOpen)); // once at the start, and every 10 s
        Assert.Equal(AlarmStanding.Unacknowledged, drive.Loop.State.AlarmOf(AlarmId.BoardMissing).Standing);
        Assert.StartsWith("The station's board can not be opened.", drive.Loop.Say.Text, StringComparison.Ordinal);

        drive.Go(20);
        Assert.Equal(AlarmStanding.ReturnedUnacknowledged, drive.Loop.State.AlarmOf(AlarmId.BoardMissing).Standing);
        drive.Begin();
        log.Flush();
        Assert.Contains(Why, log.Reader.LastEvent(station.Name, "board-missing")?.Text, StringComparison.Ordinal);
        Assert.True(log.Reader.HasEvent(station.Name, "board-found"));

        // The same again from what was written.
        var replayed = new StationState(station);
        LogReplay.Run(log.Reader.Read(0, 10_000), replayed);
        Assert.Equal(drive.Loop.State.AlarmOf(AlarmId.BoardMissing), replayed.AlarmOf(AlarmId.BoardMissing));
    }

    [Fact]
    public void A_run_that_dripped_is_held_and_one_alarm_tells_why_nothing_answers()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        station = station with { Safety = station.Safety with { ResumeAfterRestart = true } };
        var rig = new SimulatedRig(station, 1, []);
        MonotonicTime killedAt;
        using (var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1)))
        {
            drive.Begin();
            drive.Go(60);
            log.Flush();
            killedAt = drive.Now;
        }

        var again = Restart.Of(log, station, new FixedTime(Evening.AddSeconds(killedAt.Seconds + 20)));
        var missing = new LateDevices(station, () => throw new UnauthorizedAccessException(Why));
        using var without = new RigDrive(rig, again.State, log, killedAt.Plus(20), Evening.AddSeconds(killedAt.Seconds + 20), late: missing);
        _ = without.Loop.Ask(new Asking(Verb.Restarted, "start"));
        without.Go(150, () => without.CommitAnd(false));
        var state = without.Loop.State;
        Assert.Equal((Phase.Holding, Trip.None, false), (state.Phase, state.Trip, without.EverOpen));
        Assert.Equal(
            (AlarmStanding.Unacknowledged, AlarmStanding.SuppressedByDesign), (state.AlarmOf(AlarmId.BoardMissing).Standing, state.AlarmOf(AlarmId.ProbeTrouble).Standing));
    }

    /// <summary>What a defect of the program throws is none of a board's, and stops it loudly as ever.</summary>
    [Fact]
    public void What_is_no_missing_board_is_not_hidden() =>
        Assert.Throws<InvalidOperationException>(() => new LateDevices(DemoStation.Read(), () => throw new InvalidOperationException("a defect")));

    /// <summary>The program ends while the board is being opened: nothing is left open.</summary>
    [Fact]
    public void What_is_opened_after_the_end_is_let_go()
    {
        var station = DemoStation.Read();
        var rig = new SimulatedRig(station, 1, []);
        LateDevices? late = null;
        StationDevices? opened = null;
        var tries = 0;
        late = new LateDevices(station, () =>
        {
            if (++tries == 1) throw new IOException(Why);
            late!.Dispose();
            return opened = StationDevices.OnRig(station.Sensors, rig);
        });
        var latest = RawSamples.None();
        late.ReadProbes(MonotonicTime.FromSeconds(1), ref latest);
        late.ReadProbes(MonotonicTime.FromSeconds(12), ref latest);
        Assert.NotNull(opened);
        Assert.Null(late.Valve);
        using var next = StationDevices.OnRig(station.Sensors, rig); // the lines are free again
    }
}
