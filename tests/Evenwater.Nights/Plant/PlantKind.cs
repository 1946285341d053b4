using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Plant;

/// <summary>Changes an ordinary night into one with this trouble.</summary>
public delegate NightPlan Trouble(NightPlan plan, Chance chance);

/// <summary>A kind of night: which waters, which vessel, and what goes wrong in it.</summary>
public sealed record PlantKind(string Name, Trouble? Trouble = null)
{
    public Waters Waters { get; init; }

    public bool Standpipe { get; init; }

    /// <summary>The night of this seed. With more care the same night is known better beforehand.</summary>
    public Night Make(int seed, Care care = Care.Usual)
    {
        var (plan, chance) = Plan(seed, care);
        return new NightMaker(plan, chance).Make($"{Name}-{seed}", Name);
    }

    internal (NightPlan Plan, Chance Chance) Plan(int seed, Care care)
    {
        var chance = new Chance(HashCodeOf(Name) ^ (seed * 7919));
        var plan = Drawing.Ordinary(chance, Waters, care, Standpipe);
        return (Trouble?.Invoke(plan, chance) ?? plan, chance);
    }

    /// <summary>The same in every process, unlike string.GetHashCode.</summary>
    private static int HashCodeOf(string text) => text.Aggregate(17, (hash, c) => unchecked((hash * 31) + c));
}
