using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Calibrating;

/// <summary>The standards by the names that a keeper types.</summary>
internal static class Standards
{
    private static readonly (string Name, ConductivityStandard Standard, string Label)[] All =
    [
        ("147", ConductivityStandard.Sold147, "147 µS/cm at 25 °C, KCl 0.001 mol/L"),
        ("1413", ConductivityStandard.Sold1413, "1413 µS/cm at 25 °C, KCl 0.01 mol/L"),
        ("kcl-0.01", ConductivityStandard.HundredthMolal, "KCl 0.01 mol/kg, weighed"),
        ("kcl-0.1", ConductivityStandard.TenthMolal, "KCl 0.1 mol/kg, weighed, 12.8 mS/cm at 25 °C"),
        ("kcl-1", ConductivityStandard.OneMolal, "KCl 1 mol/kg, weighed, 108.6 mS/cm at 25 °C"),
        ("sea-35", ConductivityStandard.SeaWater35, "sea water of practical salinity 35, 53.1 mS/cm at 25 °C"),
    ];

    /// <summary>All names, for help and refusals.</summary>
    public static string Names { get; } = string.Join(", ", All.Select(s => s.Name));

    /// <summary>The standard of a name, or what is wrong.</summary>
    public static (ConductivityStandard Standard, Problem? Problem) Named(string name) => Array.Find(All, s => s.Name == name) is { Name: not null } found
        ? (found.Standard, null)
        : (default, new Problem("--standard", name, Names, "Give the one whose label is on the bottle; another liquid has no table here."));

    /// <summary>What it is, in words.</summary>
    public static string Label(ConductivityStandard standard) => Array.Find(All, s => s.Standard == standard).Label;
}
