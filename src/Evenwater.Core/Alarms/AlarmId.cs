namespace Evenwater.Core.Alarms;

/// <summary>Every alarm. Numbers 1 to 10 are those of the trips. Stored in the log: append, never renumber.</summary>
public enum AlarmId : byte
{
    /// <summary>Not an alarm.</summary>
    None = 0,

    /// <summary>High float wet.</summary>
    HighFloat = 1,

    /// <summary>Water on the floor.</summary>
    Leak = 2,

    /// <summary>A switch gives no answer.</summary>
    SwitchLost = 3,

    /// <summary>The log can not commit.</summary>
    LogLost = 4,

    /// <summary>Closed before the mark.</summary>
    OverflowForecast = 5,

    /// <summary>No forecast possible.</summary>
    Blind = 6,

    /// <summary>Time budget used.</summary>
    TimeBudget = 7,

    /// <summary>Volume budget used.</summary>
    VolumeBudget = 8,

    /// <summary>Source drawn down.</summary>
    SourceDrawn = 9,

    /// <summary>Changing too fast for the animals.</summary>
    LivestockLimit = 10,

    /// <summary>The mark comes near while the drip runs.</summary>
    OverflowWarning = 11,

    /// <summary>A probe is not believed.</summary>
    ProbeTrouble = 12,

    /// <summary>The drip stands still before the waters are even.</summary>
    DripStopped = 13,

    /// <summary>Water runs although the valve is closed.</summary>
    FlowWhileClosed = 14,

    /// <summary>The drip has nearly stopped although the valve is open.</summary>
    DripSlow = 15,

    /// <summary>The two conductivity probes hang in each other's water.</summary>
    ProbesSwapped = 16,

    /// <summary>The proof test is overdue.</summary>
    ProofOverdue = 17,

    /// <summary>The database refuses what the log sends it, or readings had to make room before it or the broker had them.</summary>
    SendingRefused = 18,

    /// <summary>The weekly test call.</summary>
    WeeklyTest = 19,

    /// <summary>The disk is filling up.</summary>
    DiskShort = 20,

    /// <summary>The disk is nearly full.</summary>
    DiskNearlyFull = 21,

    /// <summary>The tank's conductivity is beyond the keeper's own limits.</summary>
    TankConductivity = 22,

    /// <summary>The tank's temperature is beyond the keeper's own limits.</summary>
    TankTemperature = 23,

    /// <summary>Something of the keeper's routine is overdue.</summary>
    RoutineOverdue = 24,

    /// <summary>The waters were even and, while the animals wait in the vessel, are no longer.</summary>
    NoLongerEven = 25,

    /// <summary>The animals have waited in still water for about as long as they should.</summary>
    ReleaseDue = 26,

    /// <summary>The animals of an arrival are to be looked at and counted.</summary>
    OutcomeDue = 27,

    /// <summary>A probe that the keeper's own limits of the tank go by gives no good reading, so nobody watches them.</summary>
    TankUnwatched = 28,

    /// <summary>The station's board can not be opened.</summary>
    BoardMissing = 29,
}
