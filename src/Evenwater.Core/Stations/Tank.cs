namespace Evenwater.Core.Stations;

/// <summary>The tank that is watched for its own sake: the keeper's own limits, null where there is none.</summary>
public sealed record Tank
{
    /// <summary>Too little salt below this, µS/cm at 25 °C.</summary>
    public double? MinMicrosiemensPerCm { get; init; }

    /// <summary>Too much above this, µS/cm at 25 °C.</summary>
    public double? MaxMicrosiemensPerCm { get; init; }

    /// <summary>Too cold below this, °C.</summary>
    public double? MinCelsius { get; init; }

    /// <summary>Too warm above this, °C.</summary>
    public double? MaxCelsius { get; init; }

    /// <summary>Whether it has a cover: then hardly anything goes to the air.</summary>
    public bool Covered { get; init; }
}

/// <summary>What a keeper does again and again. Each is the note of the same name.</summary>
public enum Chore
{
    /// <summary>Water taken out and replaced.</summary>
    WaterChange,

    /// <summary>Evaporated water replaced.</summary>
    TopOff,

    /// <summary>Something added to the water.</summary>
    Dose,

    /// <summary>The animals fed.</summary>
    Feed,

    /// <summary>Plants trimmed.</summary>
    Trim,

    /// <summary>A filter cleaned.</summary>
    FilterClean,

    /// <summary>A probe cleaned.</summary>
    ProbeClean,

    /// <summary>A probe calibrated.</summary>
    Calibration,

    /// <summary>A test by hand.</summary>
    Test,

    /// <summary>A look at the tank.</summary>
    Observation,
}

/// <summary>One task of the keeper's own routine.</summary>
public sealed record RoutineTask
{
    /// <summary>Which.</summary>
    public required Chore Kind { get; init; }

    /// <summary>How often, days, 0.25 to 400.</summary>
    public required double DueEveryDays { get; init; }

    /// <summary>Only notes whose text has this in it count, letter case aside, such as the name of what is dosed; null for all of the kind.</summary>
    public string? About { get; init; }
}
