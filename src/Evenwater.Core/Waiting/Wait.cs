using Evenwater.Core.Water;

namespace Evenwater.Core.Waiting;

/// <summary>What ends the time that animals may be left in still water.</summary>
public enum WaitEnd : byte
{
    /// <summary>Oxygen falls to its floor.</summary>
    Oxygen,

    /// <summary>The vessel's temperature leaves the tank's.</summary>
    Warmth,

    /// <summary>Nobody told the animals' mass, or nothing is known of such animals or such water: somebody should look by then.</summary>
    NobodyKnows,

    /// <summary>The program was away and nobody can tell how long: it may be over.</summary>
    CutUnknown,
}

/// <summary>How long the animals may be left in the vessel from now on.</summary>
/// <param name="Seconds">Until the earliest of what is known, s from now; below 0: it has passed.</param>
/// <param name="End">Which it is.</param>
/// <param name="OxygenHours">How long the oxygen lasts from when the water stood still, h; null when that can not be told.</param>
public readonly record struct Wait(double Seconds, WaitEnd End, Doubtful? OxygenHours);
