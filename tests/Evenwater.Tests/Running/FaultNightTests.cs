using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>
/// One thing goes wrong in a night that no plan ends: 28.8 L could siphon into a pail of 11.6 L, and the waters would be even only at 18 L. The rig has no float
/// in the coil's supply, so the program alone stands between.
/// </summary>
public sealed class FaultNightTests
{
    private static readonly Station Demo = DemoStation.Read();

    private static readonly Station Never = Demo with
    {
        Match = Demo.Match with { ToleranceMicrosiemensPerCm = 20 },
        Source = Demo.Source with { IntakeDepthMillimetres = 60, MaxDrawLitres = 100 },
        Safety = Demo.Safety with { MaxInflowLitres = 10, MaxOpenMinutes = 1440 },
    };

    [Theory]
    [InlineData("siphon-surge@2h")]
    [InlineData("falling-head@1h")]
    [InlineData("float-stuck-dry@1m")]
    [InlineData("stuck-probe@3h")]
    [InlineData("open-probe@1h")]
    [InlineData("dry-probe@3h")]
    [InlineData("drifting-probe@1h")]
    [InlineData("noisy-probe@1h")]
    [InlineData("probes-swapped@2h")]
    [InlineData("thermometer-85@1h")]
    [InlineData("tank-change@2h")]
    [InlineData("no-answer@1h")]
    public void The_program_alone_keeps_the_water_below_the_mark(string fault)
    {
        var verdict = Closing(RigFault.Parse(fault), Never);
        Assert.NotEqual(Trip.None, verdict.Trip);
        Assert.InRange(verdict.LitresMost, Never.Vessel.StartVolumeLitres, Never.Vessel.BrimLitres - Never.Vessel.FreeboardLitres);
        Assert.Equal(0, verdict.SpilledLitres);
    }

    [Theory]
    [InlineData(3.0)]
    [InlineData(5.0)]
    public void A_vessel_that_was_fuller_than_told_is_closed_below_its_brim(double litres)
    {
        var verdict = Closing(null, Never with { Vessel = Never.Vessel with { StartVolumeLitres = litres } });
        Assert.NotEqual(Trip.None, verdict.Trip);
        Assert.InRange(verdict.LitresMost, litres, Never.Vessel.BrimLitres - 0.3);
        Assert.Equal(0, verdict.SpilledLitres);
    }

    [Fact]
    public void A_wall_clock_that_leaps_by_years_moves_no_decision()
    {
        Assert.Equal(Decisions(0), Decisions(3652));
        Assert.Contains(Decisions(0), row => row.Contains(nameof(Phase.Dripping), StringComparison.Ordinal));
        Assert.Contains(Decisions(0), row => row.Contains(nameof(Trip.TimeBudget), StringComparison.Ordinal));
    }

    /// <summary>A night until the program closes, and a while after it.</summary>
    private static Verdict Closing(RigFault? fault, Station truth)
    {
        var closedSteps = 0;
        var verdict = Rehearsal.Run(
            Never, 1, fault is { } one ? [one] : [], 16, null,
            watch: night => (closedSteps += night.Loop.State.Phase == Phase.Tripped ? 1 : 0) > 1000, truth: truth);
        Assert.NotNull(verdict.ClosedAt);
        return verdict;
    }

    /// <summary>What is decided each minute of a run, while the wall clock leaps that many days, there and back.</summary>
    private static List<string> Decisions(double days)
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        var station = Never with { Safety = Never.Safety with { MaxOpenMinutes = 40 } };
        var time = new LeapingTime();
        var start = MonotonicTime.FromSeconds(1);
        var clock = StationClock.Real(start, time);
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, start, default, real: clock);
        drive.Begin();
        var rows = new List<string>();
        for (var minute = 0; minute < 60; minute++)
        {
            var before = clock.Now;
            time.Leap = TimeSpan.FromDays(days * ((minute % 3) - 1));
            Assert.InRange(clock.Now.SecondsSince(before), 0, 60);
            drive.Go(60);
            drive.Log.Flush();
            var state = drive.Loop.State;
            rows.Add($"{state.Phase} {state.Trip} {state.InflowLitres:R} {state.OpenSeconds:R} {state.Forecast.BrimProbability:R} {drive.Rig.ValveOpen}");
        }

        return rows;
    }

    private sealed class LeapingTime : TimeProvider
    {
        public TimeSpan Leap { get; set; }

        public override TimeZoneInfo LocalTimeZone => TimeZoneInfo.Utc;

        public override DateTimeOffset GetUtcNow() => base.GetUtcNow() + Leap;
    }
}
