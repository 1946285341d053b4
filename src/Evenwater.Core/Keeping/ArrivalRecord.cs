using System.Text.Json.Serialization;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Keeping;

/// <summary>What came, in what water, after how long: the animals of one run. Readings are of the bag as it was opened; what was not measured is null.</summary>
public sealed record ArrivalRecord
{
    /// <summary>Saturated brine, the saltiest water there is, µS/cm at 25 °C: about 26 % of sodium chloride, 2.5e5 (from memory; handbooks of chemistry give 0.25 S/cm).</summary>
    public const double SaturatedMicrosiemensPerCm = 250_000;

    /// <summary>Longest name of what came, characters.</summary>
    public const int LongestSpecies = 200;

    /// <summary>Which animals, in the keeper's words, 1 to 200 characters.</summary>
    public required string Species { get; init; }

    /// <summary>How many, 1 to 100 000.</summary>
    public required int Count { get; init; }

    /// <summary>All of them together, g, above 0 to 1 000 000; null when nobody weighed or judged them.</summary>
    public double? Grams { get; init; }

    /// <summary>The kind that limits are known of; null for none.</summary>
    [JsonConverter(typeof(AnimalGroupName))]
    public AnimalGroup? Group { get; init; }

    /// <summary>From packing to opening, h, 0 to 240.</summary>
    public double? HoursInTransit { get; init; }

    /// <summary>Conductivity, µS/cm at 25 °C, 0 to 250 000.</summary>
    public double? MicrosiemensPerCm { get; init; }

    /// <summary>Temperature, °C, -2 to 45.</summary>
    public double? Celsius { get; init; }

    /// <summary>pH, 4 to 10.</summary>
    public double? Ph { get; init; }

    /// <summary>Ammonia as a test kit reads it, NH3 and NH4 together, mg/L, 0 to 200.</summary>
    public double? TotalAmmoniaMilligramsPerLitre { get; init; }

    /// <summary>Nitrite, mg/L as NO2, 0 to 100.</summary>
    public double? NitriteMilligramsPerLitre { get; init; }

    /// <summary>What is wrong with it, in the order of its keys. Keys are those of the command's options.</summary>
    public IReadOnlyList<Problem> Problems()
    {
        var findings = new Findings();
        findings.Require(Species.Trim().Length is > 0 and <= LongestSpecies && NoteRules.IsOfALine(Species), "species", Species.Length > LongestSpecies ? $"{Species.Length} characters" : Species.Trim(), $"1 to {LongestSpecies} plain characters", "Say what came.");
        findings.Within("count", Count, 1, 100_000, "animals", "Count them all.");
        findings.Require(Grams is not { } g || g is > 0 and <= 1_000_000, "grams", Grams, "above 0, to 1000000 g, all together", "Weigh the bag's animals or judge them, or leave it out.");
        findings.Require(Group is not { } group || Enum.IsDefined(group), "group", $"{Group}", string.Join(", ", AnimalGroups.All.Select(AnimalGroups.Name)), "Choose the nearest, or leave it out.");
        findings.WithinIfGiven("hours", HoursInTransit, 0, 240, "h", "Give the hours from packing to opening.");
        findings.WithinIfGiven("conductivity", MicrosiemensPerCm, 0, SaturatedMicrosiemensPerCm, "µS/cm at 25 °C, where brine is saturated", "Check the unit: 1 mS/cm is 1000 µS/cm.");
        findings.WithinIfGiven("temperature", Celsius, -2, 45, "°C", "Measure the bag's water, in degrees Celsius.");
        findings.WithinIfGiven("ph", Ph, 4, 10, "(pH)", "No animal lives beyond it: calibrate the meter, or leave it out.");
        findings.WithinIfGiven("ammonia", TotalAmmoniaMilligramsPerLitre, 0, 200, "mg/L", "Give what a test of the bag's water reads, or leave it out.");
        findings.WithinIfGiven("nitrite", NitriteMilligramsPerLitre, 0, 100, "mg/L", "Give what a test of the bag's water reads, or leave it out.");
        return findings.Problems;
    }

    /// <summary>The station with this bag's water in place of what its file expects. A pH or ammonia that nobody measured is unknown then: that of another bag says nothing about this one.</summary>
    public Station On(Station station) => station with
    {
        Waters = station.Waters with
        {
            BagMicrosiemensPerCm = MicrosiemensPerCm ?? station.Waters.BagMicrosiemensPerCm,
            BagTemperatureCelsius = Celsius ?? station.Waters.BagTemperatureCelsius,
            BagPh = Ph,
            BagGeneralHardnessDegrees = null,
            BagCarbonateHardnessDegrees = null,
        },
        Arrival = new Arrival
        {
            HoursInTransit = HoursInTransit,
            TotalAmmoniaMilligramsPerLitre = TotalAmmoniaMilligramsPerLitre,
            NitriteMilligramsPerLitre = NitriteMilligramsPerLitre,
            Animals = Count,
            TotalGrams = Grams,
        },
    };
}
