using Evenwater.Commands;
using Evenwater.Core.Alarms;
using Evenwater.Core.Stations;

namespace Evenwater.Nights.Campaign;

/// <summary>The kinds of night, on the demo's station and on variants made to hurt.</summary>
public static class Kinds
{
    private static readonly Station Demo = DemoStation.Read();

    /// <summary>The demo's pail, wanting 225 x 1.6 / 50 = 7.2 L of 10.4: a night that fits with room to spare.</summary>
    private static readonly Station Roomy = Demo with { Match = Demo.Match with { ToleranceMicrosiemensPerCm = 50 } };

    /// <summary>The demo: its shallow intake ends the siphon before the vessel can spill, so it proves little about spilling.</summary>
    private static readonly Station River = Demo;

    /// <summary>An intake of 60 mm: 28.8 L could run down into a vessel of 11.6 L. Only the program stands between.</summary>
    private static readonly Station Deep = River with { Source = River.Source with { IntakeDepthMillimetres = 60 } };

    /// <summary>The same, wanting 225 x 1.6 / 20 = 18 L to be even: it must be stopped before its mark at 10.4 L. No budget helps.</summary>
    private static readonly Station Never = Deep with
    {
        Match = Deep.Match with { ToleranceMicrosiemensPerCm = 20 },
        Safety = Deep.Safety with { MaxInflowLitres = 10, MaxOpenMinutes = 1440 },
        Source = Deep.Source with { MaxDrawLitres = 100 },
    };

    /// <summary>The same again without its high float.</summary>
    private static readonly Station NoHighFloat = Never with
    {
        Floats = Never.Floats with { HighLitres = null },
        Sensors = Never.Sensors with { FloatHighLine = null },
    };

    /// <summary>Closed by its time budget after half an hour, while the waters are far apart.</summary>
    private static readonly Station Short = Deep with { Safety = Deep.Safety with { MaxOpenMinutes = 30 } };

    /// <summary>A standpipe at 3 L: 15 mL/min through 3 L makes 225 into 40 after about ln(225/75) x 3/0.9 h more than filling; see the plan.</summary>
    private static readonly Station Standpipe = Deep with
    {
        Vessel = Deep.Vessel with { Mode = Core.Estimation.VesselMode.Standpipe, StandpipeLitres = 3, StandpipeSdLitres = 0.05 },
        Floats = new Floats { HighLitres = 10.8 },
        Sensors = Deep.Sensors with { FloatLowLine = null },
    };

    public static IReadOnlyList<Kind> All { get; } =
    [
        new("normal, roomy", Roomy) { Share = 5 },
        new("normal", River),
        new("slow-clog", Roomy, "slow-clog@1h"),
        new("sudden-clog", River, "sudden-clog@1h") { Hours = 4 },
        new("siphon-surge", River, "siphon-surge@1h"),
        new("leaking-valve, even", Roomy, "leaking-valve@1m") { HoursAfterClosing = 5, Hours = 14, Sign = AlarmId.FlowWhileClosed },
        new("stuck-probe", River, "stuck-probe@1h") { Hours = 3 },
        new("open-probe", River, "open-probe@1h"),
        new("noisy-probe", River, "noisy-probe@1h"),
        new("no-answer", River, "no-answer@1h"),
        new("float-stuck-dry", River, "float-stuck-dry@1m"),
        new("float-cut", River, "float-cut@1h"),
        new("leak-wet", River, "leak-wet@1h"),
        new("tank-change", River, "tank-change@2h"),
        new("thermometer-85", River, "thermometer-85@1h"),
        new("standpipe", Standpipe),
        new("deep, normal", Deep),
        new("deep, surge", Deep, "siphon-surge@2h"),
        new("deep, late surge", Deep, "siphon-surge@7h"),
        new("deep, insists", Deep, "siphon-surge@2h") { Insists = true, Hours = 5 },
        new("never even", Never) { Hours = 14 },
        new("never, floats dry", Never, "float-stuck-dry@1m"),
        new("never, no float", NoHighFloat) { Hours = 14 },
        new("never, surge", NoHighFloat, "siphon-surge@6h"),
        new("never, noisy", NoHighFloat, "noisy-probe@1h"),
        new("power-cut, goes on", Roomy with { Safety = Roomy.Safety with { ResumeAfterRestart = true } }, "power-cut@3h") { HoursAfterClosing = 1 },
        new("closed, good valve", Short) { HoursAfterClosing = 12, Hours = 12.6 },
        new("closed, soon", Deep with { Safety = Deep.Safety with { MaxOpenMinutes = 10 } }) { HoursAfterClosing = 4, Hours = 4.5 },
        new("closed, lid off", Short with { Evaporation = new() { MillilitresPerHour = 1 } })
        {
            HoursAfterClosing = 12, Hours = 12.6, Truth = Short with { Evaporation = new() { MillilitresPerHour = 4.5 } },
        },
        new("closed, lid on", Short with { Evaporation = new() { MillilitresPerHour = 4.5 } })
        {
            HoursAfterClosing = 12, Hours = 12.6, Truth = Short with { Evaporation = new() { MillilitresPerHour = 1 } },
        },
        new("closed, leaking", Short, "leaking-valve@1m") { HoursAfterClosing = 4, Sign = AlarmId.FlowWhileClosed },
        new("closed, leaks later", Short, "leaking-valve@3h") { HoursAfterClosing = 6, Sign = AlarmId.FlowWhileClosed },
    ];
}
