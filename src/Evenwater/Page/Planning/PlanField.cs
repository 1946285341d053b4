using System.Globalization;
using Evenwater.Core.Stations;

namespace Evenwater.Page.Planning;

/// <summary>A number of the station file that the plan's form lets somebody try otherwise.</summary>
/// <param name="Name">The field.</param>
/// <param name="Key">Its path in the station file, by which the station's rules name it.</param>
/// <param name="Label">As people read it.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Get">What a station has.</param>
/// <param name="With">The same station with another value.</param>
public sealed record PlanField(string Name, string Key, string Label, string Unit, Func<Station, double?> Get, Func<Station, double, Station> With)
{
    /// <summary>All of the vessel and the drip.</summary>
    public static IReadOnlyList<PlanField> Vessel { get; } =
    [
        new("start", "vessel.startVolumeLitres", "Bag water at the start", "L", s => s.Vessel.StartVolumeLitres, (s, v) => s with { Vessel = s.Vessel with { StartVolumeLitres = v } }),
        new("brim", "vessel.brimLitres", "Vessel full to its brim", "L", s => s.Vessel.BrimLitres, (s, v) => s with { Vessel = s.Vessel with { BrimLitres = v } }),
        new("freeboard", "vessel.freeboardLitres", "Kept free below the brim", "L", s => s.Vessel.FreeboardLitres, (s, v) => s with { Vessel = s.Vessel with { FreeboardLitres = v } }),
        new("flow", "drip.flowMillilitresPerMinute", "Drip", "mL/min", s => s.Drip.FlowMillilitresPerMinute, (s, v) => s with { Drip = s.Drip with { FlowMillilitresPerMinute = v } }),
        new("room", "room.temperatureCelsius", "The room", "°C", s => s.Room.TemperatureCelsius, (s, v) => s with { Room = s.Room with { TemperatureCelsius = v } }),
    ];

    /// <summary>All of the two waters.</summary>
    public static IReadOnlyList<PlanField> Waters { get; } =
    [
        new("bagConductivity", "waters.bagMicrosiemensPerCm", "Bag, conductivity at 25 °C", "µS/cm", s => s.Waters.BagMicrosiemensPerCm, (s, v) => Water(s, w => w with { BagMicrosiemensPerCm = v })),
        new("bagTemperature", "waters.bagTemperatureCelsius", "Bag, temperature", "°C", s => s.Waters.BagTemperatureCelsius, (s, v) => Water(s, w => w with { BagTemperatureCelsius = v })),
        new("tankConductivity", "waters.tankMicrosiemensPerCm", "Tank, conductivity at 25 °C", "µS/cm", s => s.Waters.TankMicrosiemensPerCm, (s, v) => Water(s, w => w with { TankMicrosiemensPerCm = v })),
        new("tankTemperature", "waters.tankTemperatureCelsius", "Tank, temperature", "°C", s => s.Waters.TankTemperatureCelsius, (s, v) => Water(s, w => w with { TankTemperatureCelsius = v })),
    ];

    /// <summary>All of them.</summary>
    public static IReadOnlyList<PlanField> All { get; } = [.. Vessel, .. Waters];

    /// <summary>How far off a volume may be is no field: where it is too much for what was typed, that is told there.</summary>
    public static Problem Of(Problem problem, Station station) => problem.Key switch
    {
        "vessel.startVolumeSdLitres" => Least("vessel.startVolumeLitres", 2, station.Vessel.StartVolumeSdLitres, problem),
        "vessel.brimSdLitres" => Least("vessel.brimLitres", 5, station.Vessel.BrimSdLitres, problem),
        _ => problem,
    };

    private static Problem Least(string key, int times, double sdLitres, Problem problem) =>
        new(key, problem.Value, $"at least {(times * sdLitres).ToString("0.###", CultureInfo.InvariantCulture)} L: {times} x {problem.Key}, which is {sdLitres.ToString("0.###", CultureInfo.InvariantCulture)} L in the station file", "Try more, or measure it better and change that there.");

    /// <summary>What the field holds while nobody has typed otherwise.</summary>
    public string Shown(Station station) => Get(station) is { } value ? value.ToString("0.######", CultureInfo.InvariantCulture) : "";

    private static Station Water(Station station, Func<Waters, Waters> change) => station with { Waters = change(station.Waters) };
}
