using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Watch;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Watch;

/// <summary>That the tasks beat while they live, each for itself, and stop when they stand still.</summary>
public sealed class BeatTests : IDisposable
{
    private readonly LogFolder _folder = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_guard_that_hangs_stops_its_own_beat_and_the_cycles_but_no_others()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        var rig = new SimulatedRig(station, 1, []);
        var start = MonotonicTime.FromSeconds(1);
        var clock = StationClock.Faster(1, new DateTimeOffset(2026, 1, 10, 20, 0, 0, TimeSpan.Zero), start);
        rig.Advance(clock.Now);
        var recorder = new Recorder(log, new RunNumbers(0), clock, station.Name, log.StartBoot("test", simulated: true), log.Configure(station));
        var devices = StationDevices.OnRig(station.Sensors, rig);
        var beats = StationBeats.Live(new Heartbeat(), station);
        using var hang = new ManualResetEventSlim(true);
        using var live = new LiveStation(
            new StationLoop(new StationState(station), devices, recorder, clock), devices, clock, beats, _ => hang.Wait(TimeSpan.FromSeconds(20)), _ => { });

        Assert.True(await UntilAsync(() => beats.Cycle.Count > 1 && beats.Guard.Count > 20 && beats.Pulses.Count > 20 && beats.Probes.Count > 1));
        Assert.InRange(beats.Guard.Count, beats.Cycle.Count * 5, long.MaxValue);
        hang.Reset();
        await Task.Delay(1500, Stop); // the next cycle is due within a second
        var (cycle, guard, pulses, probes) = (beats.Cycle.Count, beats.Guard.Count, beats.Pulses.Count, beats.Probes.Count);
        Assert.True(await UntilAsync(() => beats.Pulses.Count > pulses + 10 && beats.Probes.Count > probes));
        Assert.Equal((cycle, guard), (beats.Cycle.Count, beats.Guard.Count));
        hang.Set();
        Assert.True(await UntilAsync(() => beats.Cycle.Count > cycle && beats.Guard.Count > guard));
    }

    [Fact]
    public async Task The_logs_writer_beats_at_rest_and_not_in_a_commit_that_hangs()
    {
        using var hang = new ManualResetEventSlim();
        using var loop = new CommitLoop((_, _) => hang.Wait(TimeSpan.FromSeconds(20)), _ => { }, 0, new LogPace { Batch = TimeSpan.FromMinutes(1) }, NullLogger.Instance);
        var before = loop.Turns;
        Assert.True(await UntilAsync(() => loop.Turns >= before + 3));
        Assert.InRange(loop.Turns, before + 3, before + 10); // and does not spin

        loop.MoveCursor("follower", 1);
        var commit = loop.CommitAsync(Stop);
        await Task.Delay(1500, Stop);
        var hung = loop.Turns;
        await Task.Delay(2500, Stop);
        Assert.Equal(hung, loop.Turns);
        hang.Set();
        await commit;
        Assert.True(await UntilAsync(() => loop.Turns > hung));
    }

    private static async Task<bool> UntilAsync(Func<bool> so)
    {
        for (var i = 0; i < 1000 && !so(); i++)
        {
            await Task.Delay(20, Stop);
        }

        return so();
    }
}
