using Evenwater.Commands;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>Both probes of a simulated station in one cup, read through the daemon's own door, and the run that begins with what came of it.</summary>
public sealed class CupTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public async Task A_match_finds_the_true_ratio_of_the_gains_and_the_run_reads_the_tank_by_it(ulong seed)
    {
        using var log = _folder.Open();
        var river = DemoStation.Read();
        var station = river with { Probes = new Probes { GainRatioSd = 0.021 } };
        var rig = new SimulatedRig(station, seed, []);
        using var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1), hands: true);
        drive.Go(120);
        var truth = TrueRatio(drive);
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        Assert.True((await directory.ObeyAsync(new("cup", Note: "in"))).Ok);
        var match = new CupMatch();
        Assert.True(drive.Go(480, () => match.Step(Look(directory)) == CupState.Steady));
        Assert.Equal(truth, match.Ratio, 0.007); // the truth here is itself read off two probes that wander
        Assert.InRange(match.RelativeSd, 0.003, 0.0035);

        Assert.True((await directory.ObeyAsync(new("cup", Note: "out"))).Ok);
        drive.Go(240);
        var begun = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(GainRatio: match.Ratio, GainRatioSd: match.RelativeSd, Attended: true)));
        Assert.True(drive.Go(30, () => drive.CommitAnd(drive.Loop.State.Phase == Phase.Dripping)));
        Assert.True((await begun).Obeyed);
        var run = drive.Loop.State.Run!;
        Assert.Equal((match.Ratio, match.RelativeSd), (run.GainRatio, run.Prior.GainRatioRelativeSd));
        var (corrected, raw) = (0.0, 0.0);
        drive.Go(60, () =>
        {
            corrected += drive.Loop.State.Readings[Channel.TankConductivity].Value;
            raw += Calibrate.Apply(drive.Probes, station.Sensors)[Channel.TankConductivity].Value;
            return drive.CommitAnd(false);
        });
        Assert.Equal(match.Ratio, corrected / raw, 0.001);
        Assert.True(Math.Abs(match.Ratio - 1) > 0.002, "the seed gives two probes that differ, or this would prove nothing");
        Assert.Contains("no station nobody", (await directory.ObeyAsync(new("cup", "nobody", Note: "in"))).Text, StringComparison.Ordinal);
        Assert.Contains("stay where they are", (await directory.ObeyAsync(new("cup", Note: "in"))).Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_board_station_leaves_the_cup_to_a_person()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        Assert.Equal(new ControlAnswer(false, "Only a person can do that."), await directory.ObeyAsync(new("cup", Note: "in")));
    }

    [Theory]
    [InlineData(0.5, 0.003, "0.75 to 1.33")]
    [InlineData(double.NaN, 0.003, "0.75 to 1.33")]
    [InlineData(1.01, 0.5, "0.0005 to 0.1")]
    public async Task A_ratio_that_can_not_be_is_refused(double ratio, double sd, string said)
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        drive.Go(3);
        var refused = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(GainRatio: ratio, GainRatioSd: sd, Attended: true)));
        drive.Go(1);
        Assert.Contains(said, (await refused).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Readings_come_over_the_socket_as_they_are()
    {
        var at = MonotonicTime.FromSeconds(12.25);
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(410.5, at);
        readings[Channel.TankConductivity] = Reading.Missing(Reason.Stuck, at);
        var back = ControlReading.Back(ControlReading.Of(readings));
        for (var i = 0; i < Channels.Count; i++)
        {
            Assert.Equal(readings[i], back[i]);
        }
    }

    private static Readings Look(StationDirectory directory) =>
        ControlReading.Back(directory.ObeyAsync(new("readings")).GetAwaiter().GetResult().Readings!);

    /// <summary>What the two probes read over what is truly there, a mean over two minutes.</summary>
    private static double TrueRatio(RigDrive drive)
    {
        var (sum, count) = (0.0, 0);
        for (var i = 0; i < 120; i++)
        {
            drive.Go(1);
            var readings = drive.Loop.State.Readings;
            sum += Math.Log(readings[Channel.VesselConductivity].Value / drive.Rig.VesselEc25 / (readings[Channel.TankConductivity].Value / drive.Rig.TankEc25));
            count++;
        }

        return Math.Exp(sum / count);
    }
}
