using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Watch;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Running;

/// <summary>What goes wrong around a dripping station, and that it closes.</summary>
public sealed class ProtectionTests : IDisposable
{
    private readonly LogFolder _folder = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Probes_that_hang_close_the_valve()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Begin();
        drive.Go(1200, () => drive.CommitAnd(false) && drive.Now.Seconds < 0);
        drive.ProbesAlive = false;
        var hung = drive.Now;
        Assert.True(drive.Go(900, () => drive.Loop.State.Phase == Phase.Tripped));
        Assert.Equal(Trip.Blind, drive.Loop.State.Trip);
        Assert.InRange(drive.Now.SecondsSince(hung), 15, 700);
        drive.Go(3);
        Assert.False(drive.Rig.ValveOpen);
    }

    [Fact]
    public void A_probe_that_is_stuck_closes_the_valve_and_is_told()
    {
        var verdict = Rehearsal.Run(DemoStation.Read(), 1, [RigFault.Parse("stuck-probe@3h")], 5, null);
        Assert.Equal(Trip.Blind, verdict.Trip);
        Assert.Contains(verdict.Story, s => s.What == "alarm: A probe is not believed");
        Assert.InRange(verdict.ClosedAt!.Value / 3600, 3, 3.3);
    }

    [Theory]
    [InlineData("sudden-clog@3h", 2)]
    [InlineData("slow-clog@2h", 7)]
    public void A_drip_that_clogs_is_told_within_hours_and_an_even_one_is_not(string fault, double hours)
    {
        const string Alarm = "alarm: The drip has nearly stopped and the waters are not even";
        var parsed = RigFault.Parse(fault);
        var clogged = Rehearsal.Run(DemoStation.Read(), 1, [parsed], 12, null);
        var told = Assert.Single(clogged.Story, s => s.What == Alarm);
        Assert.InRange(told.At, parsed.AtSeconds, parsed.AtSeconds + (hours * 3600));
        Assert.DoesNotContain(Rehearsal.Run(DemoStation.Read(), 2, [], 12, null).Story, s => s.What == Alarm);
    }

    [Fact]
    public async Task A_log_that_can_not_commit_closes_the_valve_opens_nothing_and_loses_nothing()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Begin();
        using (var other = new SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var hold = other.CreateCommand();
            hold.CommandText = "BEGIN IMMEDIATE";
            hold.ExecuteNonQuery();
            for (var i = 0; i < 200 && drive.Loop.State.Phase != Phase.Tripped; i++)
            {
                drive.Go(1);
                await Task.Delay(50, Stop);
            }

            Assert.Equal((Phase.Tripped, Trip.LogLost), (drive.Loop.State.Phase, drive.Loop.State.Trip));
            drive.Go(3);
            Assert.False(drive.Rig.ValveOpen);
            var reset = drive.Loop.Ask(new Asking(Verb.Reset, "test"));
            drive.Go(1);
            Assert.Contains("log can not be written", (await reset).Text, StringComparison.Ordinal);
        }

        for (var i = 0; i < 200 && !log.Commits; i++)
        {
            drive.Go(1);
            await Task.Delay(50, Stop);
        }

        log.Flush();
        Assert.Equal(0, log.Dropped);
        Assert.Equal("log-lost", LogJson.Read<TripBody>(log.Reader.Last(drive.Loop.State.Station.Name, EntryKind.Trip)!.Body!).Cause);
        var again = Restart.Of(log, drive.Loop.State.Station, TimeProvider.System);
        Assert.Equal((Phase.Tripped, Trip.LogLost), (again.State.Phase, again.State.Trip));

        drive.Go(2);
        var granted = drive.Loop.Ask(new Asking(Verb.Reset, "test"));
        drive.Go(1);
        Assert.True((await granted).Obeyed);
        Assert.Equal(Phase.Holding, drive.Loop.State.Phase);
    }

    [Fact]
    public async Task An_opening_that_can_not_be_committed_ends_closed_at_once_not_after_a_minute()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Go(3);
        log.Flush();
        using var other = new SqliteConnection($"Data Source={_folder.File};Pooling=False");
        other.Open();
        using var hold = other.CreateCommand();
        hold.CommandText = "BEGIN IMMEDIATE";
        hold.ExecuteNonQuery();
        var begun = drive.Loop.Ask(new Asking(Verb.Begin, "test"));
        drive.Go(0.5);
        Assert.True((await begun).Obeyed);
        Assert.Equal(Phase.Armed, drive.Loop.State.Phase);
        for (var i = 0; i < 400 && drive.Loop.State.Phase == Phase.Armed; i++)
        {
            drive.Go(0.1);
            await Task.Delay(20, Stop);
        }

        Assert.Equal((Phase.Holding, false), (drive.Loop.State.Phase, drive.EverOpen));
        Assert.InRange(drive.Now.Seconds, 0, 50);
    }

    [Fact]
    public async Task A_thread_that_dies_closes_the_valve_and_is_told()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        var rig = new SimulatedRig(station, 1, []);
        var start = MonotonicTime.FromSeconds(1);
        var clock = StationClock.Faster(1, LogFolder.Evening, start);
        rig.Advance(clock.Now);
        var recorder = new Recorder(log, new RunNumbers(0), clock, station.Name, log.StartBoot("test", simulated: true), log.Configure(station));
        var devices = StationDevices.OnRig(station.Sensors, rig);
        var loop = new StationLoop(new StationState(station), devices, recorder, clock);
        var broken = new TaskCompletionSource<Exception>();
        var dies = false;
        using var live = new LiveStation(
            loop, devices, clock, StationBeats.Live(new Heartbeat(), station),
            _ =>
            {
                if (Volatile.Read(ref dies))
                {
                    throw new InvalidOperationException("the test's own");
                }
            },
            e => broken.TrySetResult(e));
        Assert.True(await UntilAsync(() => TripCause.IsFresh(loop.Shown.Readings)));
        Assert.True((await loop.Ask(new Asking(Verb.Begin, "test"))).Obeyed);
        Assert.True(await UntilAsync(() => rig.ValveOpen));
        Volatile.Write(ref dies, true);
        Assert.Equal("the test's own", (await broken.Task.WaitAsync(TimeSpan.FromSeconds(10), Stop)).Message);
        Assert.True(await UntilAsync(() => !rig.ValveOpen));

        async Task<bool> UntilAsync(Func<bool> so)
        {
            for (var i = 0; i < 1000 && !so(); i++)
            {
                rig.Advance(clock.Now);
                await Task.Delay(20, Stop);
            }

            return so();
        }
    }
}
