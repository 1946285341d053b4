using Evenwater.Core;

namespace Evenwater.Nights.Months;

/// <summary>What happens to a tank in a month of ours.</summary>
internal enum PlantedKind
{
    WaterChange,
    TopOff,
    Evaporation,
    Dose,
    Overfeeding,
    Heater,
    Light,
    SaltCreep,
    Fouling,
    OutOfWater,
    Calibration,
    PowerCut,
    Drip,

    /// <summary>Conductivity comes up and goes down again within hours, as nothing known does.</summary>
    Hump,

    /// <summary>The water warms for some hours although lamp and heater are as ever: sun, a pump that jams.</summary>
    WarmSpell,

    /// <summary>Readings of conductivity become restless for a day: a loose plug, air bubbles.</summary>
    Restless,
}

/// <summary>One thing that happened.</summary>
/// <param name="Kind">What.</param>
/// <param name="Minute">From this minute of the month.</param>
/// <param name="Until">To this one: what comes of it may last longer.</param>
/// <param name="Amount">Litres, percent or degrees, as the kind has it.</param>
/// <param name="Told">Whether the keeper wrote it down.</param>
internal sealed record Planted(PlantedKind Kind, int Minute, int Until, double Amount, bool Told)
{
    public bool Known => Kind < PlantedKind.Hump;

    /// <summary>When what came of it first was three robust sigmas of a channel; null: never.</summary>
    public int? ThreeSigmas { get; set; }

    /// <summary>How many sigmas it came to at the most.</summary>
    public double Most { get; set; }

    private (double Conductivity, double Temperature, double Light) _most;

    /// <summary>Whether it had moved a channel by a sigma, two hours after its three sigmas at the latest.</summary>
    public bool Moves(Channel channel) => channel switch { Channel.TankConductivity => _most.Conductivity, Channel.TankTemperature => _most.Temperature, _ => _most.Light } >= 1;

    public void Remember(double conductivity, double temperature, double light) =>
        _most = (Math.Max(_most.Conductivity, conductivity), Math.Max(_most.Temperature, temperature), Math.Max(_most.Light, light));
}
