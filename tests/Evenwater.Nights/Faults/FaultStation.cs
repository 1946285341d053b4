using Evenwater.Commands;
using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Options;

namespace Evenwater.Nights.Faults;

/// <summary>
/// The stations of the campaign. All are made so that no plan and no time budget ends the drip: the waters would be even only in more water
/// than the vessel holds, so it drips until something stops it. A run may go on after a restart.
/// </summary>
internal static class FaultStation
{
    private static readonly Station Demo = DemoStation.Read();

    /// <summary>The demo's pail: 225 x 1.6 / 20 = 18 L to be even, 11.6 L to the rim, 8 L that may siphon.</summary>
    private static readonly Station River = Endless(Demo, 20);

    /// <summary>With scale, level and drop counter, for rows that break one of them.</summary>
    private static readonly Station Lagoon =
        Endless(StationFile.Read(Repository.Path("config", "stations", "sim-lagoon.json")).Station!, 500);

    /// <summary>With a standpipe at 3 L, for the row that blocks it.</summary>
    private static readonly Station Standpipe = River with
    {
        Vessel = River.Vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = 3, StandpipeSdLitres = 0.05 },
        Floats = new Floats { HighLitres = 10.8 },
        Sensors = River.Sensors with { FloatLowLine = null },
    };

    /// <summary>The station on which these faults do something.</summary>
    /// <param name="kinds">The faults.</param>
    /// <param name="pace">The drip so many times as fast, for shorter nights; the animals' limits with it.</param>
    public static Station For(IReadOnlyCollection<FaultKind> kinds, double pace = 1)
    {
        var station = kinds.Contains(FaultKind.StandpipeBlocked) ? Standpipe
            : kinds.Any(kind => kind is FaultKind.DropsBlocked or FaultKind.ScaleSilent or FaultKind.LevelBroken) ? Lagoon
            : River;
        return pace == 1 ? station : station with
        {
            Drip = station.Drip with { FlowMillilitresPerMinute = pace * station.Drip.FlowMillilitresPerMinute },
            Limits = station.Limits with { MicrosiemensPerCmPerHour = pace * station.Limits.MicrosiemensPerCmPerHour, CelsiusPerHour = pace * station.Limits.CelsiusPerHour },
        };
    }

    private static Station Endless(Station station, double microsiemens) => station with
    {
        Match = station.Match with { ToleranceMicrosiemensPerCm = microsiemens, ToleranceFractionOfDifference = null },
        Source = station.Source with { MaxDrawLitres = 100 },
        Safety = station.Safety with { MaxOpenMinutes = 1440, ResumeAfterRestart = true },
    };
}
