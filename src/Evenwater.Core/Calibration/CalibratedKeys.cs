using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>A number of the station file that a calibration may set.</summary>
/// <param name="Name">Its path, as the station file has it.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Get">What a station has; null where the part is not fitted.</param>
/// <param name="With">The same station with another value; unchanged where the part is not fitted.</param>
public sealed record CalibratedKey(string Name, string Unit, Func<Station, double?> Get, Func<Station, double, Station> With);

/// <summary>Every number of a station file that a calibration may set, and no other: a record that names another changes nothing.</summary>
public static class CalibratedKeys
{
    /// <summary>All of them.</summary>
    public static IReadOnlyList<CalibratedKey> All { get; } =
    [
        new("sensors.vesselConductivity.cellConstantPerCm", "1/cm", s => s.Sensors.VesselConductivity.CellConstantPerCm, (s, v) => Vessel(s, c => c with { CellConstantPerCm = v })),
        new("sensors.vesselConductivity.offsetMicrosiemensPerCm", "µS/cm", s => s.Sensors.VesselConductivity.OffsetMicrosiemensPerCm, (s, v) => Vessel(s, c => c with { OffsetMicrosiemensPerCm = v })),
        new("sensors.tankConductivity.cellConstantPerCm", "1/cm", s => s.Sensors.TankConductivity?.CellConstantPerCm, (s, v) => Tank(s, c => c with { CellConstantPerCm = v })),
        new("sensors.tankConductivity.offsetMicrosiemensPerCm", "µS/cm", s => s.Sensors.TankConductivity?.OffsetMicrosiemensPerCm, (s, v) => Tank(s, c => c with { OffsetMicrosiemensPerCm = v })),
        new("sensors.vesselThermometerOffsetCelsius", "°C", s => s.Sensors.VesselThermometerOffsetCelsius, (s, v) => Sensed(s, o => o with { VesselThermometerOffsetCelsius = v })),
        new("sensors.tankThermometerOffsetCelsius", "°C", s => s.Sensors.TankThermometer is null ? null : s.Sensors.TankThermometerOffsetCelsius, (s, v) => s.Sensors.TankThermometer is null ? s : Sensed(s, o => o with { TankThermometerOffsetCelsius = v })),
        new("sensors.loadCell.zeroCounts", "counts", s => s.Sensors.LoadCell?.ZeroCounts, (s, v) => Scale(s, c => c with { ZeroCounts = (int)Math.Round(Math.Clamp(v, int.MinValue, int.MaxValue)) })),
        new("sensors.loadCell.countsPerKilogram", "counts/kg", s => s.Sensors.LoadCell?.CountsPerKilogram, (s, v) => Scale(s, c => c with { CountsPerKilogram = v })),
        new("sensors.loadCell.zeroSdKilograms", "kg", s => s.Sensors.LoadCell?.ZeroSdKilograms, (s, v) => Scale(s, c => c with { ZeroSdKilograms = v })),
        new("sensors.level.zeroVolts", "V", s => s.Sensors.Level?.ZeroVolts, (s, v) => Height(s, c => c with { ZeroVolts = v })),
        new("sensors.level.millimetresPerVolt", "mm/V", s => s.Sensors.Level?.MillimetresPerVolt, (s, v) => Height(s, c => c with { MillimetresPerVolt = v })),
        new("sensors.level.zeroSdMillimetres", "mm", s => s.Sensors.Level?.ZeroSdMillimetres, (s, v) => Height(s, c => c with { ZeroSdMillimetres = v })),
        new("drip.dropMillilitres", "mL", s => s.Drip.DropMillilitres, (s, v) => s with { Drip = s.Drip with { DropMillilitres = v } }),
        new("drip.dropRelativeSd", "(a fraction)", s => s.Drip.DropRelativeSd, (s, v) => s with { Drip = s.Drip with { DropRelativeSd = v } }),
        new("probes.gainRatioSd", "(a fraction)", s => s.Probes.GainRatioSd, (s, v) => s with { Probes = s.Probes with { GainRatioSd = v } }),
    ];

    /// <summary>One of them by its path, or null.</summary>
    public static CalibratedKey? Named(string name) => All.FirstOrDefault(key => key.Name == name);

    private static Station Sensed(Station station, Func<Sensors, Sensors> change) => station with { Sensors = change(station.Sensors) };

    private static Station Vessel(Station station, Func<ConductivityInput, ConductivityInput> change)
        => Sensed(station, s => s with { VesselConductivity = change(s.VesselConductivity) });

    private static Station Tank(Station station, Func<ConductivityInput, ConductivityInput> change)
        => station.Sensors.TankConductivity is { } tank ? Sensed(station, s => s with { TankConductivity = change(tank) }) : station;

    private static Station Scale(Station station, Func<LoadCellInput, LoadCellInput> change)
        => station.Sensors.LoadCell is { } cell ? Sensed(station, s => s with { LoadCell = change(cell) }) : station;

    private static Station Height(Station station, Func<LevelInput, LevelInput> change)
        => station.Sensors.Level is { } level ? Sensed(station, s => s with { Level = change(level) }) : station;
}
