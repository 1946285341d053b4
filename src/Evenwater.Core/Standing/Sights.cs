using Evenwater.Core.Stations;

namespace Evenwater.Core.Standing;

/// <summary>The words of the five steps: what can be seen, not what it means, so that two people choose alike.</summary>
public static class Sights
{
    /// <summary>The highest step.</summary>
    public const int Steps = 5;

    private static readonly string[] Algae = ["none to be seen", "a breath that a finger wipes off", "patches", "more than half is covered", "all is covered"];
    private static readonly string[] Plants = ["glassy or falling apart", "pale all over", "pale at the tips", "even and fresh", "deep, with new growth"];
    private static readonly string[] Animals = ["lying, gasping or off balance", "hiding all day", "about, but off their food", "about and feeding", "lively, feeding at once"];

    /// <summary>The name in commands: a-z and -.</summary>
    public static string Name(Sight of) => of switch
    {
        Sight.AlgaeOnGlass => "algae-glass",
        Sight.AlgaeOnLeaves => "algae-leaves",
        Sight.AlgaeOnGround => "algae-ground",
        Sight.AlgaeOnStones => "algae-stones",
        Sight.PlantColour => "plant-colour",
        _ => "behaviour",
    };

    /// <summary>What a name means, or null.</summary>
    public static Sight? Named(string? name)
    {
        foreach (var sight in Enum.GetValues<Sight>())
        {
            if (Name(sight) == name) return sight;
        }

        return null;
    }

    /// <summary>What a step means.</summary>
    /// <param name="of">What was looked at.</param>
    /// <param name="step">1 to 5.</param>
    public static string Words(Sight of, int step) => Scale(of)[step - 1];

    /// <summary>What is wrong with an observation; empty when nothing is.</summary>
    public static IReadOnlyList<Problem> Check(Observation observation)
    {
        ArgumentNullException.ThrowIfNull(observation);
        var findings = new Findings();
        findings.Within(Name(observation.Of), observation.Step, 1, Steps, "(a whole number)",
            string.Join("; ", Scale(observation.Of).Select((words, i) => $"{i + 1} {words}")) + ".");
        return findings.Problems;
    }

    private static string[] Scale(Sight of) => of switch
    {
        Sight.PlantColour => Plants,
        Sight.Behaviour => Animals,
        _ => Algae,
    };
}
