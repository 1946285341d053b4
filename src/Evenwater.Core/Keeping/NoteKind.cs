namespace Evenwater.Core.Keeping;

/// <summary>What a note of the keeper's book is about. Kept in the log by its name (<see cref="NoteKinds.Name"/>).</summary>
public enum NoteKind
{
    /// <summary>Not said; refused.</summary>
    None,

    /// <summary>Water was taken out and replaced.</summary>
    WaterChange,

    /// <summary>Evaporated water was replaced.</summary>
    TopOff,

    /// <summary>Something was added to the water: fertiliser, minerals, conditioner.</summary>
    Dose,

    /// <summary>The animals were fed.</summary>
    Feed,

    /// <summary>Plants were trimmed.</summary>
    Trim,

    /// <summary>Animals were put in.</summary>
    NewAnimals,

    /// <summary>A filter was cleaned.</summary>
    FilterClean,

    /// <summary>A probe was cleaned.</summary>
    ProbeClean,

    /// <summary>The light's times or strength were changed.</summary>
    LightChange,

    /// <summary>A remedy was given.</summary>
    Medication,

    /// <summary>Something was moved: animals, plants, equipment.</summary>
    Move,

    /// <summary>What was seen.</summary>
    Observation,

    /// <summary>What a test by hand came to.</summary>
    Test,

    /// <summary>Animals came, in what water, after how long.</summary>
    Arrival,

    /// <summary>How the animals of an arrival are, some time later.</summary>
    Outcome,

    /// <summary>A probe was calibrated.</summary>
    Calibration,

    /// <summary>Something went wrong, and what was done about it.</summary>
    Trouble,

    /// <summary>Anything else.</summary>
    Other,
}
