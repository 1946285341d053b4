using Evenwater.Core.Estimation;

namespace Evenwater.Core.Stations;

/// <summary>Ranges and geometry of the vessel and its floats.</summary>
internal static class VesselRules
{
    /// <summary>The margin must hold the brim's own uncertainty: three standard deviations of it.</summary>
    private const double FreeboardBrimSds = 3;

    /// <summary>And so must the high float's distance from the brim.</summary>
    private const double FloatSds = 3;

    public static void Check(Station station, Findings findings)
    {
        CheckVolumes(station.Vessel, findings);
        CheckStandpipe(station.Vessel, findings);
        CheckFloats(station, findings);
    }

    private static void CheckVolumes(Vessel vessel, Findings findings)
    {
        var mark = StationRules.MarkLitres(vessel);
        findings.Within("vessel.startVolumeLitres", vessel.StartVolumeLitres, 0.05, 1000, "L", "Measure the first water with a jug.");
        findings.Require(vessel.StartVolumeLitres < mark, "vessel.startVolumeLitres", vessel.StartVolumeLitres,
            $"less than brim less freeboard, {Findings.Text(mark)} L", "Start with less water, or take a larger vessel.");
        findings.Require(vessel.StartVolumeSdLitres > 0 && vessel.StartVolumeSdLitres <= vessel.StartVolumeLitres / 2,
            "vessel.startVolumeSdLitres", vessel.StartVolumeSdLitres,
            $"more than 0, to half the start volume, {Findings.Text(vessel.StartVolumeLitres / 2)} L", "A jug is good to 2 %, a guess by eye to 15 %.");
        findings.Within("vessel.brimLitres", vessel.BrimLitres, 0.1, 2000, "L", "Fill the vessel once to the rim and measure.");
        findings.Require(vessel.BrimSdLitres > 0 && vessel.BrimSdLitres <= vessel.BrimLitres / 5, "vessel.brimSdLitres", vessel.BrimSdLitres,
            $"more than 0, to a fifth of the brim, {Findings.Text(vessel.BrimLitres / 5)} L", "Filling it once and measuring is good to 1 %.");
        var least = Math.Max(FreeboardBrimSds * vessel.BrimSdLitres, 0.01 * vessel.BrimLitres);
        findings.Require(vessel.FreeboardLitres >= least && vessel.FreeboardLitres < vessel.BrimLitres, "vessel.freeboardLitres", vessel.FreeboardLitres,
            $"{Findings.Text(least)} to less than {Findings.Text(vessel.BrimLitres)} L (at least 3 x brimSdLitres and 1 % of the brim)",
            "Leave a larger margin, or measure the brim better.");
        findings.WithinIfGiven("vessel.catchLitres", vessel.CatchLitres, 0.1, 5000, "L", "Give what the tray or catch vessel holds.");
        findings.WithinIfGiven("vessel.areaSquareMetres", vessel.AreaSquareMetres, 0.001, 5, "m2", "Give the area of the water surface, length x width.");
        findings.Within("vessel.heatExchangeWattsPerKelvin", vessel.HeatExchangeWattsPerKelvin, 0.05, 100, "W/K", "2 to 4 for an open 10 L bucket, less with a lid.");
    }

    private static void CheckStandpipe(Vessel vessel, Findings findings)
    {
        if (vessel.Mode == VesselMode.Fill)
        {
            findings.Require(vessel.StandpipeLitres is null, "vessel.standpipeLitres", vessel.StandpipeLitres, "nothing, because vessel.mode is fill",
                "Set vessel.mode to standpipe, or take this out.");
            findings.Require(vessel.StandpipeSdLitres is null, "vessel.standpipeSdLitres", vessel.StandpipeSdLitres, "nothing, because vessel.mode is fill",
                "Set vessel.mode to standpipe, or take this out.");
            return;
        }

        findings.Require(vessel.StandpipeLitres > vessel.StartVolumeLitres && vessel.StandpipeLitres < StationRules.MarkLitres(vessel),
            "vessel.standpipeLitres", vessel.StandpipeLitres,
            $"more than the start volume, {Findings.Text(vessel.StartVolumeLitres)} L, and less than brim less freeboard, {Findings.Text(StationRules.MarkLitres(vessel))} L",
            "Give the volume at which the standpipe begins to run.");
        if (vessel.StandpipeSdLitres is { } sd)
        {
            findings.Require(sd > 0 && sd <= vessel.BrimLitres / 5, "vessel.standpipeSdLitres", sd,
                $"more than 0, to a fifth of the brim, {Findings.Text(vessel.BrimLitres / 5)} L", "Fill it once and measure.");
        }

        findings.Require(vessel.CatchLitres is not null, "vessel.catchLitres", vessel.CatchLitres, "0.1 to 5000 L, because a standpipe sends its water on",
            "Give what the catch vessel below the standpipe holds.");
    }

    private static void CheckFloats(Station station, Findings findings)
    {
        var (floats, vessel) = (station.Floats, station.Vessel);
        findings.Within("floats.positionSdLitres", floats.PositionSdLitres, 0.001, 50, "L", "Lift the water to the float twice and compare.");
        if (floats.LowLitres is { } low)
        {
            findings.Require(low > 0 && low < vessel.BrimLitres, "floats.lowLitres", low,
                $"more than 0 and less than the brim, {Findings.Text(vessel.BrimLitres)} L", "Give the volume at which the low float turns wet.");
            findings.Require(!(floats.HighLitres <= low), "floats.lowLitres", low,
                $"less than floats.highLitres, {Findings.Text(floats.HighLitres)} L", "Exchange the two, or move a float.");
        }

        if (floats.HighLitres is { } high)
        {
            var highest = vessel.BrimLitres - (FloatSds * floats.PositionSdLitres);
            var lowest = vessel.Mode == VesselMode.Standpipe ? vessel.StandpipeLitres ?? vessel.StartVolumeLitres : vessel.StartVolumeLitres;
            findings.Require(high > lowest && high <= highest, "floats.highLitres", high,
                $"more than {Findings.Text(lowest)} L (start volume, or standpipe) and at most {Findings.Text(highest)} L (3 x floats.positionSdLitres below the brim)",
                "Move the high float, or give its position better.");
        }

        findings.Require(floats.LowLitres is null == station.Sensors.FloatLowLine is null, "floats.lowLitres", floats.LowLitres,
            "given exactly when sensors.floatLowLine is given", "Give both, or neither.");
        findings.Require(floats.HighLitres is null == station.Sensors.FloatHighLine is null, "floats.highLitres", floats.HighLitres,
            "given exactly when sensors.floatHighLine is given", "Give both, or neither.");
    }
}
