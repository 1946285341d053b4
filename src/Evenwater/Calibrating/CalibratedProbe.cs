using Evenwater.Core;
using Evenwater.Core.Stations;

namespace Evenwater.Calibrating;

/// <summary>What can be calibrated, by its name.</summary>
/// <param name="Name">As a keeper types it.</param>
/// <param name="Channel">What is read; the vessel's of both.</param>
/// <param name="DueDays">When it is due again if nothing else is said, days. Common practice, no source.</param>
/// <param name="Fitted">Whether a station has it.</param>
internal sealed record CalibratedProbe(string Name, Channel Channel, int DueDays, Func<Station, bool> Fitted)
{
    public static CalibratedProbe VesselConductivity { get; } = new("vessel-conductivity", Channel.VesselConductivity, 90, _ => true);

    public static CalibratedProbe TankConductivity { get; } = new("tank-conductivity", Channel.TankConductivity, 90, s => s.Sensors.TankConductivity is not null);

    public static CalibratedProbe VesselThermometer { get; } = new("vessel-thermometer", Channel.VesselTemperature, 365, _ => true);

    public static CalibratedProbe TankThermometer { get; } = new("tank-thermometer", Channel.TankTemperature, 365, s => s.Sensors.TankThermometer is not null);

    public static CalibratedProbe Both { get; } = new("both", Channel.VesselConductivity, 30, s => s.Sensors is { TankConductivity: not null, TankThermometer: not null });

    public static CalibratedProbe LoadCell { get; } = new("load-cell", Channel.Mass, 180, s => s.Sensors.LoadCell is not null);

    public static CalibratedProbe Level { get; } = new("level", Channel.Level, 180, s => s.Sensors.Level is not null);

    public static CalibratedProbe Drops { get; } = new("drops", Channel.Drops, 90, s => s.Sensors.DropCounterLine is not null);

    public static IReadOnlyList<CalibratedProbe> All { get; } = [VesselConductivity, TankConductivity, VesselThermometer, TankThermometer, Both, LoadCell, Level, Drops];

    /// <summary>All names, for help and refusals.</summary>
    public static string Names { get; } = string.Join(", ", All.Select(p => p.Name));

    /// <summary>That of a name, or null.</summary>
    public static CalibratedProbe? Named(string name) => All.FirstOrDefault(p => p.Name == name);
}
