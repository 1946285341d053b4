namespace Evenwater.Core.Safety;

/// <summary>Where a station's run stands. The valve may be open in <see cref="Dripping"/> alone.</summary>
public enum Phase : byte
{
    /// <summary>No run.</summary>
    Idle = 0,

    /// <summary>Asked to open; waits for the log to commit the opening and for a fresh look at every probe.</summary>
    Armed = 1,

    /// <summary>The drip runs.</summary>
    Dripping = 2,

    /// <summary>Closed, animals still in the vessel: even, or closed by a person, or stopped by a restart, or reset after a trip.</summary>
    Holding = 3,

    /// <summary>Closed for safety; stays so until a person resets.</summary>
    Tripped = 4,

    /// <summary>The run has ended after the match.</summary>
    Finished = 5,

    /// <summary>The run was ended before the match.</summary>
    Abandoned = 6,
}

/// <summary>Why a trip closed the valve. The number is stored in the log: append, never renumber.</summary>
public enum Trip : byte
{
    /// <summary>No trip.</summary>
    None = 0,

    /// <summary>The high float is wet, or its wire is cut.</summary>
    HighFloat = 1,

    /// <summary>The leak sensor is wet, or its wire is cut.</summary>
    Leak = 2,

    /// <summary>A fitted float or leak sensor gives no fresh answer.</summary>
    SwitchLost = 3,

    /// <summary>The log can not commit.</summary>
    LogLost = 4,

    /// <summary>The forecast says the water may pass the mark within the horizon.</summary>
    OverflowForecast = 5,

    /// <summary>Too little evidence to forecast.</summary>
    Blind = 6,

    /// <summary>Open for as long as allowed.</summary>
    TimeBudget = 7,

    /// <summary>As much water let in as allowed.</summary>
    VolumeBudget = 8,

    /// <summary>As much water taken from the source as allowed.</summary>
    SourceDrawn = 9,

    /// <summary>The water changes faster or further than the animals' limit.</summary>
    LivestockLimit = 10,
}
