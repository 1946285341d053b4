using System.Text.RegularExpressions;

namespace Evenwater.Core.Stations;

/// <summary>What a station must satisfy before anything opens. Ranges without a source are sanity limits, wide on purpose.</summary>
public static partial class StationRules
{
    /// <summary>What the name of every simulated station begins with, so that it never shares a topic or a series with a real one.</summary>
    public const string SimulatedPrefix = "sim-";

    /// <summary>Whether a station of that name is simulated.</summary>
    public static bool IsSimulated(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        return name.StartsWith(SimulatedPrefix, StringComparison.Ordinal);
    }

    /// <summary>All that is wrong, in the order of the file; empty when nothing is.</summary>
    public static IReadOnlyList<Problem> Check(Station station)
    {
        ArgumentNullException.ThrowIfNull(station);
        var findings = new Findings();
        CheckName(station, findings);
        VesselRules.Check(station, findings);
        WaterRules.Check(station, findings);
        SensorRules.Check(station, findings);
        SafetyRules.Check(station, findings);
        PacingRules.Check(station, findings);
        TankRules.Check(station, findings);
        return findings.Problems;
    }

    /// <summary>The volume that must never be passed, L: the brim less the freeboard.</summary>
    internal static double MarkLitres(Vessel vessel) => vessel.BrimLitres - vessel.FreeboardLitres;

    private static void CheckName(Station station, Findings findings)
    {
        findings.Require(NamePattern().IsMatch(station.Name), "name", station.Name,
            "1 to 32 of a-z, 0-9 and -, a letter first", "Give the station a short name of that kind.");
        var simulated = station.Sensors.Source == SensorSource.Simulated;
        var named = IsSimulated(station.Name);
        findings.Require(simulated == named, "name", station.Name,
            simulated ? "a name that begins with sim-, because sensors.source is simulated" : "a name that does not begin with sim-, because sensors.source is board",
            "Rename the station, or change sensors.source.");
    }

    [GeneratedRegex(@"\A[a-z][a-z0-9-]{0,31}\z")]
    private static partial Regex NamePattern();
}
