namespace Evenwater.Core.Review;

/// <summary>What may have made a tank swing.</summary>
public enum Cause
{
    /// <summary>Nothing that is known here explains it.</summary>
    NothingKnown,

    /// <summary>Water was taken out and replaced.</summary>
    WaterChange,

    /// <summary>Evaporated water was replaced at once.</summary>
    TopOff,

    /// <summary>Water was lost to the air and not replaced.</summary>
    Evaporation,

    /// <summary>Something that conducts was added.</summary>
    Dose,

    /// <summary>Food that rots: salts come free over a day or two.</summary>
    Overfeeding,

    /// <summary>The heater holds another temperature, or none.</summary>
    HeaterSchedule,

    /// <summary>The lamp's hours or strength changed.</summary>
    LightSchedule,

    /// <summary>Salt leaves by spray and crusts, and fresh water replaces it.</summary>
    SaltCreep,

    /// <summary>The probe is overgrown, or was cleaned.</summary>
    ProbeFouling,

    /// <summary>The probe hung in the air.</summary>
    ProbeOutOfWater,

    /// <summary>The probe was calibrated: the water is as it was.</summary>
    CalibrationStep,

    /// <summary>Nothing had power.</summary>
    PowerCut,

    /// <summary>A run dripped water out of the tank.</summary>
    SourceDrip,
}

/// <summary>One number for or against a cause.</summary>
/// <param name="Text">What it is, with its figures.</param>
/// <param name="Weight">Above 0 it supports, below it opposes; in units of a natural logarithm of odds, judged and not fitted.</param>
public readonly record struct Evidence(string Text, double Weight);

/// <summary>A cause with what speaks for and against it.</summary>
/// <param name="Cause">Which.</param>
/// <param name="Evidence">Each number.</param>
public sealed record Candidate(Cause Cause, IReadOnlyList<Evidence> Evidence)
{
    /// <summary>The sum of the weights.</summary>
    public double Score { get; } = Evidence.Sum(one => one.Weight);
}
