using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>What a keeper says of a run that is to begin: what is believed, and what is refused in words.</summary>
public sealed class BeginTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_begin_that_does_not_say_that_somebody_stays_is_one_left_alone()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Go(3);
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        Assert.Contains("check --proof", (await directory.ObeyAsync(new("begin"))).Text, StringComparison.Ordinal);
        var refused = (await directory.ObeyAsync(new("begin", Known: new StartKnown(1.6)))).Text;
        Assert.Contains("check --proof", refused, StringComparison.Ordinal);
        Assert.EndsWith("say so: --attended, or its box on the page.", refused, StringComparison.Ordinal); // the same answer is read on both
    }

    [Fact]
    public async Task A_begin_with_numbers_that_can_not_be_is_refused_and_the_station_lives_on()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Go(3);
        foreach (var known in new[]
                 {
                     new StartKnown(-3), new StartKnown(double.NaN), new StartKnown(11), new StartKnown(1.6, -1), new StartKnown(1.6, double.NaN),
                     new StartKnown(FlowMillilitresPerMinute: 0), new StartKnown(FlowMillilitresPerMinute: 15, FlowRelativeSd: -1),
                 })
        {
            var asked = drive.Loop.Ask(new Asking(Verb.Begin, "test", known));
            drive.Go(1.5);
            Assert.StartsWith("Refused", (await asked).Text, StringComparison.Ordinal);
        }

        Assert.Equal(Phase.Idle, drive.Loop.State.Phase);
    }

    [Fact]
    public async Task A_station_without_a_tank_probe_begins_only_with_the_tank_measured_by_hand()
    {
        using var log = _folder.Open();
        var river = DemoStation.Read();
        var station = river with { Sensors = river.Sensors with { TankConductivity = null } };
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), LogFolder.Evening);
        drive.Go(3);
        foreach (var unknown in new[] { null, new StartKnown(1.6, Attended: true) })
        {
            var refused = drive.Loop.Ask(new Asking(Verb.Begin, "test", unknown));
            drive.Go(1);
            Assert.Contains("--tank", (await refused).Text, StringComparison.Ordinal);
            Assert.Equal(Phase.Idle, drive.Loop.State.Phase);
        }

        var begun = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(TankMicrosiemensPerCm: 187, TankRelativeSd: 0.01, Attended: true)));
        Assert.True(drive.Go(30, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.True((await begun).Obeyed);
        Assert.Equal((187.0, 0.01), (drive.Loop.State.Run!.Prior.TankMicrosiemensPerCm, drive.Loop.State.Run.Prior.TankRelativeSd));
    }

    [Theory]
    [InlineData(187.0, "has a probe in the tank")]
    [InlineData(0.0, "1 to 100000")]
    [InlineData(double.NaN, "1 to 100000")]
    public async Task A_tank_by_hand_is_refused_where_it_can_not_be_or_is_read(double tank, string said)
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Go(3);
        var refused = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(TankMicrosiemensPerCm: tank, Attended: true)));
        drive.Go(1);
        Assert.Contains(said, (await refused).Text, StringComparison.Ordinal);
        Assert.Equal(Phase.Idle, drive.Loop.State.Phase);
    }

    [Fact]
    public async Task A_held_run_goes_on_without_new_volumes_and_refuses_them()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Begin();
        _ = drive.Loop.Ask(new Asking(Verb.Close, "test"));
        drive.Go(5);
        var other = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(1.0, Attended: true)));
        drive.Go(2);
        Assert.Contains("finish it first", (await other).Text, StringComparison.Ordinal);
        var same = drive.Loop.Ask(new Asking(Verb.Begin, "test"));
        Assert.True(drive.Go(30, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.Contains("goes on with its run", (await same).Text, StringComparison.Ordinal);
        Assert.Equal(1, drive.Loop.State.Run!.RunId);
    }
}
