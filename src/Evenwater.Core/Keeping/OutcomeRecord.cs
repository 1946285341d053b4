using System.Text.Json;
using System.Text.Json.Serialization;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Keeping;

/// <summary>When the animals of an arrival are counted.</summary>
public enum Look
{
    /// <summary>When they are let into the tank, or the run is ended.</summary>
    Release,

    /// <summary>A day after that.</summary>
    Day,

    /// <summary>Seven days after that.</summary>
    Week,
}

/// <summary>How the animals of an arrival are at one of the looks; what is to be said of them stands in the note's text.</summary>
public sealed record OutcomeRecord
{
    /// <summary>A note of the arrival that they came with; null for animals that were never noted.</summary>
    public string? Arrival { get; init; }

    /// <summary>The run that they came through, or null.</summary>
    public long? Run { get; init; }

    /// <summary>Which look.</summary>
    [JsonConverter(typeof(LookName))]
    public required Look Look { get; init; }

    /// <summary>How many live, 0 to 100 000; null when nobody counted.</summary>
    public int? Alive { get; init; }

    /// <summary>How many have died until then, 0 to 100 000; null when nobody counted.</summary>
    public int? Dead { get; init; }

    /// <summary>How many were counted. Whichever was counted is no more than came, also without the other.</summary>
    [JsonIgnore]
    public int Counted => (Alive ?? 0) + (Dead ?? 0);

    /// <summary>What is wrong with it.</summary>
    /// <param name="book">The station's book.</param>
    public IReadOnlyList<Problem> Problems(Book book)
    {
        var findings = new Findings();
        findings.WithinIfGiven("alive", Alive, 0, 100_000, "animals", "Count them.");
        findings.WithinIfGiven("dead", Dead, 0, 100_000, "animals", "Count them.");
        var arrival = Arrival is { } id ? book.Find(id) : null;
        findings.Require(Arrival is null || arrival is { Withdrawn: false, Now.Arrival: not null }, "of", Arrival, "an arrival that stands in this station's book", "'evenwater arrival' lists them.");
        if (arrival?.Now.Arrival is { Count: var came })
        {
            var key = (Alive, Dead) switch { (not null, null) => "alive", (null, not null) => "dead", _ => "alive, dead" };
            findings.Require(Counted <= came, key, Counted, $"at most the {came} that came", "Count again, or correct the arrival.");
        }

        return findings.Problems;
    }
}

/// <summary>Writes a look by its name, whatever the options say of other enumerations.</summary>
internal sealed class LookName() : JsonStringEnumConverter<Look>(JsonNamingPolicy.CamelCase, allowIntegerValues: false);
