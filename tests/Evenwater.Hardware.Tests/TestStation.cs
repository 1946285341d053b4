using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.HardwareTests;

/// <summary>A pail, a tank and two probes; numbers invented.</summary>
internal static class TestStation
{
    public static Station Pail { get; } = new()
    {
        Name = "sim-pail",
        Vessel = new Vessel
        {
            StartVolumeLitres = 1.6,
            StartVolumeSdLitres = 0.032,
            BrimLitres = 11.6,
            BrimSdLitres = 0.12,
            FreeboardLitres = 1.2,
            AreaSquareMetres = 0.045,
            HeatExchangeWattsPerKelvin = 1.2,
        },
        Drip = new Drip { FlowMillilitresPerMinute = 15, FlowRelativeSd = 0.05 },
        Match = new Match { ToleranceMicrosiemensPerCm = 40 },
        Source = new Source { VolumeLitres = 240, MaxDrawLitres = 14, SurfaceAreaSquareMetres = 0.48, IntakeDepthMillimetres = 100 },
        Waters = new Waters { BagMicrosiemensPerCm = 410, BagTemperatureCelsius = 19.5, TankMicrosiemensPerCm = 185, TankTemperatureCelsius = 23 },
        Room = new Room { TemperatureCelsius = 22.5, Lid = true },
        Floats = new Floats { LowLitres = 5, HighLitres = 10.8 },
        Probes = new Probes { GainRatioSd = 0.003 },
        Sensors = new Sensors
        {
            Source = SensorSource.Simulated,
            VesselConductivity = new ConductivityInput { AdcInput = 0, CellConstantPerCm = 1 },
            TankConductivity = new ConductivityInput { AdcInput = 1, CellConstantPerCm = 1 },
            VesselThermometer = "28-000000000001",
            TankThermometer = "28-000000000002",
            FloatLowLine = 17,
            FloatHighLine = 27,
            LeakLine = 22,
            ValveLine = 23,
        },
        Safety = new Safety { MaxOpenMinutes = 780, MaxInflowLitres = 10 },
    };

    /// <summary>The same with everything that tells the volume: drop counter, scale and level sensor.</summary>
    public static Station Weighed { get; } = Pail with
    {
        Sensors = Pail.Sensors with
        {
            DropCounterLine = 16,
            LoadCell = new LoadCellInput { ClockLine = 24, DataLine = 25, ZeroCounts = 84_000, CountsPerKilogram = 21_500, ZeroSdKilograms = 0 },
            Level = new LevelInput { AdcInput = 2, ZeroVolts = 0.4, MillimetresPerVolt = 312.5, BrokenBelowVolts = 0.36, ZeroSdMillimetres = 0.1 },
        },
    };

    /// <summary>The same with everything exactly as expected.</summary>
    public static Station Exact { get; } = Pail with
    {
        Vessel = Pail.Vessel with { StartVolumeSdLitres = 0, BrimSdLitres = 0 },
        Drip = Pail.Drip with { FlowRelativeSd = 0 },
        Floats = Pail.Floats with { PositionSdLitres = 0 },
        Probes = new Probes { GainRatioSd = 0 },
    };

    public static Station WithStandpipe(double litres) => Exact with
    {
        Vessel = Exact.Vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = litres, StandpipeSdLitres = 0 },
    };
}
