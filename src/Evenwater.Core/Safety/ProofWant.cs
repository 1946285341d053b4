namespace Evenwater.Core.Safety;

/// <summary>What a proof test wants done.</summary>
public enum ProofWant
{
    /// <summary>Nothing.</summary>
    Nothing,

    /// <summary>A run, attended, through the same door as any other.</summary>
    Open,

    /// <summary>No pulses for <see cref="ProofTest.StandStillSeconds"/>, the line left as it is.</summary>
    StandStill,

    /// <summary>Close, and end that run.</summary>
    Close,

    /// <summary>End what the wetted leak sensor has latched.</summary>
    Reset,
}
