using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Stations;

/// <summary>
/// The invented station used throughout: a 12 L pail fed from a 240 L tank. By hand: V = 225 x 1.6 / 40 = 9.0 L;
/// 7.4 L at 0.9 L/h is 8.2 h; the mark, 10.4 L, after 8.8 / 0.9 = 9.8 h.
/// </summary>
internal static class River
{
    public static Station Station { get; } = new()
    {
        Name = "sim-river",
        Vessel = new()
        {
            StartVolumeLitres = 1.6,
            StartVolumeSdLitres = 0.032,
            BrimLitres = 11.6,
            BrimSdLitres = 0.12,
            FreeboardLitres = 1.2,
            CatchLitres = 14,
            AreaSquareMetres = 0.045,
            HeatExchangeWattsPerKelvin = 1.2,
        },
        Drip = new() { FlowMillilitresPerMinute = 15, FlowRelativeSd = 0.05 },
        Match = new() { ToleranceMicrosiemensPerCm = 40 },
        Source = new() { VolumeLitres = 240, MaxDrawLitres = 14, SurfaceAreaSquareMetres = 0.48, IntakeDepthMillimetres = 16 },
        Waters = new() { BagMicrosiemensPerCm = 410, BagTemperatureCelsius = 19.5, TankMicrosiemensPerCm = 185, TankTemperatureCelsius = 23 },
        Room = new() { TemperatureCelsius = 22.5, Lid = true },
        Floats = new() { LowLitres = 5, HighLitres = 10.8 },
        Probes = new() { GainRatioSd = 0.003 },
        Sensors = new()
        {
            Source = SensorSource.Simulated,
            GpioChipLabel = "sim-chip",
            VesselConductivity = new() { AdcInput = 0, CellConstantPerCm = 1 },
            TankConductivity = new() { AdcInput = 1, CellConstantPerCm = 1 },
            VesselThermometer = "28-000000000001",
            TankThermometer = "28-000000000002",
            FloatLowLine = 17,
            FloatHighLine = 27,
            LeakLine = 22,
            ValveLine = 23,
        },
        Limits = new() { MicrosiemensPerCmPerHour = 150, CelsiusPerHour = 2.5 },
        Safety = new() { MaxOpenMinutes = 780, MaxInflowLitres = 10 },
        Evaporation = new() { MillilitresPerHour = 1 },
    };

    public static Station With(Func<Vessel, Vessel>? vessel = null, Func<Drip, Drip>? drip = null, Func<Match, Match>? match = null,
        Func<Source, Source>? source = null, Func<Waters, Waters>? waters = null, Func<Floats, Floats>? floats = null,
        Func<Sensors, Sensors>? sensors = null, Func<Safety, Safety>? safety = null) => Station with
        {
            Vessel = vessel?.Invoke(Station.Vessel) ?? Station.Vessel,
            Drip = drip?.Invoke(Station.Drip) ?? Station.Drip,
            Match = match?.Invoke(Station.Match) ?? Station.Match,
            Source = source?.Invoke(Station.Source) ?? Station.Source,
            Waters = waters?.Invoke(Station.Waters) ?? Station.Waters,
            Floats = floats?.Invoke(Station.Floats) ?? Station.Floats,
            Sensors = sensors?.Invoke(Station.Sensors) ?? Station.Sensors,
            Safety = safety?.Invoke(Station.Safety) ?? Station.Safety,
        };
}
