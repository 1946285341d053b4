namespace Evenwater.Core.Standing;

/// <summary>What a keeper looks at.</summary>
public enum Sight
{
    /// <summary>Algae on the panes.</summary>
    AlgaeOnGlass,

    /// <summary>Algae on leaves.</summary>
    AlgaeOnLeaves,

    /// <summary>Algae on the ground.</summary>
    AlgaeOnGround,

    /// <summary>Algae on stones, wood and equipment.</summary>
    AlgaeOnStones,

    /// <summary>The plants' colour.</summary>
    PlantColour,

    /// <summary>How the animals behave.</summary>
    Behaviour,
}

/// <summary>A step of five, seen by eye.</summary>
/// <param name="Of">What was looked at.</param>
/// <param name="Step">1 to 5; what each means is in <see cref="Sights"/>.</param>
public sealed record Observation(Sight Of, int Step);
