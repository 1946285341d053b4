using System.Text.Json;
using System.Text.Json.Serialization;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Keeping;

/// <summary>The groups of animals by the names that a station file calls them.</summary>
public static class AnimalGroups
{
    /// <summary>Every group.</summary>
    public static IReadOnlyList<AnimalGroup> All { get; } = Enum.GetValues<AnimalGroup>();

    /// <summary>The group's name, such as freshwaterFish.</summary>
    public static string Name(AnimalGroup group) => JsonNamingPolicy.CamelCase.ConvertName(group.ToString());

    /// <summary>The group of that name, or null.</summary>
    public static AnimalGroup? Named(string? name) => All.Where(group => Name(group) == name).Select(group => (AnimalGroup?)group).FirstOrDefault();
}

/// <summary>Writes a group by its name, whatever the options say of other enumerations.</summary>
internal sealed class AnimalGroupName() : JsonStringEnumConverter<AnimalGroup>(JsonNamingPolicy.CamelCase, allowIntegerValues: false);
