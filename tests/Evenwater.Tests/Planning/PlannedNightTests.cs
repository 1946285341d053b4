using Evenwater.Commands;
using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.Options;
using Evenwater.Running;

namespace Evenwater.Tests.Planning;

/// <summary>A plan and a rehearsed night of the same station, in which everything is as the file says, agree.</summary>
/// <remarks>
/// The rig steps its own water in halves of a second through three zones, with probes, drivers and the daemon's own cycle around it; the plan is closed forms.
/// What they share is the station file. Times count from the opening of the valve.
/// </remarks>
public class PlannedNightTests(ITestOutputHelper output)
{
    /// <summary>How far the planned time may be from the rehearsed one.</summary>
    private const double Within = 0.05;

    private static readonly Station River = DemoStation.Read();
    private static readonly Station Lagoon = StationFile.Read(Path.Combine(Documents.Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;

    private static readonly Safety Roomy = River.Safety with { MaxOpenMinutes = 2880, MaxInflowLitres = 24 };
    private static readonly Source Deep = River.Source with { MaxDrawLitres = 40, IntakeDepthMillimetres = 90 };

    /// <summary>Four kinds usually, a second each; all of them with EVENWATER_PLANS=all.</summary>
    public static TheoryData<string> Kinds => Environment.GetEnvironmentVariable("EVENWATER_PLANS") == "all" ? [.. Stations.Keys] : ["fill, by hand, head 1 m", "standpipe at 6 L", "two draw-offs", "in pulses, 45 mL/min"];

    private static Dictionary<string, Station> Stations { get; } = new()
    {
        ["fill, 1.6 L at 15 mL/min"] = River,
        ["fill, by hand, 60 drops/min"] = River with { Drip = River.Drip with { FlowMillilitresPerMinute = 3 }, Match = River.Match with { ToleranceMicrosiemensPerCm = 90 }, Safety = Roomy with { MaxInflowLitres = 10 } },
        ["fill, by hand, head 1 m"] = River with { Drip = River.Drip with { HeadMetres = 1 }, Source = Deep },
        ["standpipe at 6 L"] = River with { Vessel = River.Vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = 6, StandpipeSdLitres = 0.06, CatchLitres = 20 }, Source = Deep, Safety = Roomy },
        ["two draw-offs"] = River with
        {
            Match = River.Match with { ToleranceMicrosiemensPerCm = 20 },
            Drip = River.Drip with { FlowMillilitresPerMinute = 25 },
            DrawOffs = [new DrawOff(4 * 3600, 4, 0.02), new DrawOff(7 * 3600, 3, 0.02)],
            Source = Deep,
            Safety = Roomy with { MaxInflowLitres = 17 },
        },
        ["in pulses, 45 mL/min"] = River with
        {
            Drip = River.Drip with { FlowMillilitresPerMinute = 45 },
            Limits = new Limits { MicrosiemensPerCmPerHour = 60, CelsiusPerHour = 2 },
            Pacing = new Pacing { Path = PacePath.Limits },
        },
        ["marine, 1.2 L at 10 mL/min"] = Lagoon with { Probes = new Probes { GainRatioSd = Probes.MatchedSd } },
        ["waters that conduct alike"] = River with { Waters = River.Waters with { BagMicrosiemensPerCm = 195 } },
        ["cold bag, cold room"] = River with { Waters = River.Waters with { BagTemperatureCelsius = 18 }, Room = River.Room with { TemperatureCelsius = 21.5 }, Match = River.Match with { ToleranceMicrosiemensPerCm = 75, TemperatureToleranceCelsius = 1.4 } },
        ["paced by limits, 60 mL/min"] = River with
        {
            Drip = River.Drip with { FlowMillilitresPerMinute = 60 },
            Limits = new Limits { MicrosiemensPerCmPerHour = 60, CelsiusPerHour = 3 },
            Pacing = new Pacing { Path = PacePath.Limits },
            Source = Deep,
        },
        ["large, 20 L at 120 mL/min"] = River with
        {
            Vessel = River.Vessel with { StartVolumeLitres = 20, StartVolumeSdLitres = 0.4, BrimLitres = 150, BrimSdLitres = 1.5, FreeboardLitres = 10, AreaSquareMetres = 0.4, HeatExchangeWattsPerKelvin = 6 },
            Floats = River.Floats with { LowLitres = 60, HighLitres = 143 },
            Drip = River.Drip with { FlowMillilitresPerMinute = 240 },
            Source = Deep with { VolumeLitres = 2000, MaxDrawLitres = 400, SurfaceAreaSquareMetres = 2, IntakeDepthMillimetres = 300 },
            Safety = Roomy with { MaxInflowLitres = 120 },
        },
    };

    [Theory]
    [MemberData(nameof(Kinds))]
    public void The_planned_time_is_the_rehearsed_one(string kind)
    {
        var station = Stations[kind];
        Assert.Empty(StationRules.Check(station));
        var plan = Planner.Make(station);
        Assert.True(plan.Fits, string.Join(' ', plan.Obstacles));
        double? opened = null, even = null;
        var alike = kind == "waters that conduct alike";
        var verdict = Rehearsal.Run(station, 1, [], plan.WhenClosed!.Value.Hours * 1.15, null, calm: true, watch: night =>
        {
            if (opened is null && night.Rig.ValveOpen) opened = night.Now.Seconds;
            var rig = night.Rig;
            // Without draw-offs or overflow the share of the first water is what was poured over what is there.
            var near = alike ? station.Vessel.StartVolumeLitres / rig.VolumeLitres <= 0.25 : Math.Abs(rig.VesselEc25 - rig.TankEc25) <= plan.ToleranceMicrosiemensPerCm;
            if (near && Math.Abs(rig.VesselCelsius - rig.TankCelsius) <= station.Match.TemperatureToleranceCelsius) even ??= night.Now.Seconds;
            return false;
        });
        Assert.NotNull(opened);
        Assert.True(even is not null, string.Join('\n', verdict.Story));
        var hours = (even.Value - opened.Value) / 3600;
        var off = (plan.Even.Middle / hours) - 1;
        output.WriteLine($"{kind,-28} planned {plan.Even.Middle,6:0.00} h, rehearsed {hours,6:0.00} h: {Math.Round(100 * off, 1),5:0.0} %; closing planned {plan.WhenClosed.Value.Hours:0.00} h, {(verdict.ClosedByPlan ? $"closed {(verdict.ClosedAt - opened) / 3600:0.00} h, {verdict.LitresAtClose:0.0} L" : $"ended {verdict.Trip}")}");
        Assert.InRange(off, -Within, Within);
    }
}
