using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.Running;

/// <summary>The station behind a trace of which only the prior is known.</summary>
internal static class TraceStation
{
    /// <summary>A station for a trace that comes with a prior alone: no budgets, no limits, only the forecast and the floats decide.</summary>
    public static Station Of(Prior prior) => new()
    {
        Name = "sim-trace",
        Vessel = new Vessel
        {
            StartVolumeLitres = prior.StartVolumeLitres,
            StartVolumeSdLitres = prior.StartVolumeLitres * prior.StartVolumeRelativeSd,
            BrimLitres = prior.BrimLitres,
            BrimSdLitres = prior.BrimLitres * prior.BrimRelativeSd,
            FreeboardLitres = prior.FreeboardLitres,
            Mode = prior.Mode,
            StandpipeLitres = prior.StandpipeLitres,
        },
        Drip = new Drip { FlowMillilitresPerMinute = prior.FlowMillilitresPerMinute, FlowRelativeSd = prior.FlowRelativeSd },
        Match = new Match { ToleranceMicrosiemensPerCm = prior.ToleranceMicrosiemensPerCm, TemperatureToleranceCelsius = 100, DwellMinutes = 0 },
        Source = new Source { VolumeLitres = 1000, MaxDrawLitres = double.MaxValue, SurfaceAreaSquareMetres = 1, IntakeDepthMillimetres = 1 },
        Waters = new Waters { BagMicrosiemensPerCm = 0, BagTemperatureCelsius = 20, TankMicrosiemensPerCm = 0, TankTemperatureCelsius = 20 },
        Sensors = new Sensors
        {
            Source = SensorSource.Simulated,
            VesselConductivity = new ConductivityInput { AdcInput = 0, CellConstantPerCm = 1 },
            VesselThermometer = "",
            ValveLine = 0,
        },
        Safety = new Core.Stations.Safety { MaxOpenMinutes = double.MaxValue, MaxInflowLitres = double.MaxValue },
    };
}
