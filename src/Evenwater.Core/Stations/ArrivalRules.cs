namespace Evenwater.Core.Stations;

/// <summary>Ranges of what was tested of the two waters, of the animals, and of the keeper's hours.</summary>
internal static class ArrivalRules
{
    private const string Test = "Give what a test reads, or leave it out.";

    public static void Check(Station station, Findings findings)
    {
        var (waters, arrival) = (station.Waters, station.Arrival);
        findings.WithinIfGiven("waters.bagPh", waters.BagPh, 4, 10, "(pH)", "Measure it as the bag is opened, or leave it out.");
        findings.WithinIfGiven("waters.tankPh", waters.TankPh, 4, 10, "(pH)", "Measure the tank, or leave it out.");
        findings.WithinIfGiven("waters.bagGeneralHardnessDegrees", waters.BagGeneralHardnessDegrees, 0, 600, "°d", Test);
        findings.WithinIfGiven("waters.tankGeneralHardnessDegrees", waters.TankGeneralHardnessDegrees, 0, 600, "°d", Test);
        findings.WithinIfGiven("waters.bagCarbonateHardnessDegrees", waters.BagCarbonateHardnessDegrees, 0, 50, "°d", Test);
        findings.WithinIfGiven("waters.tankCarbonateHardnessDegrees", waters.TankCarbonateHardnessDegrees, 0, 50, "°d", Test);
        findings.WithinIfGiven("arrival.hoursInTransit", arrival.HoursInTransit, 0, 240, "h", "Give the hours from packing to opening.");
        findings.WithinIfGiven("arrival.totalAmmoniaMilligramsPerLitre", arrival.TotalAmmoniaMilligramsPerLitre, 0, 200, "mg/L", "Give what a test of the bag's water reads, or leave it out.");
        findings.WithinIfGiven("arrival.nitriteMilligramsPerLitre", arrival.NitriteMilligramsPerLitre, 0, 100, "mg/L", "Give what a test of the bag's water reads, or leave it out.");
        findings.WithinIfGiven("arrival.animals", arrival.Animals, 1, 100_000, "(a whole number)", "Count them, or leave it out.");
        findings.WithinIfGiven("arrival.totalGrams", arrival.TotalGrams, 0.01, 1_000_000, "g", "Guess what they weigh together, or leave it out.");
        CheckKeeper(station.Keeper, findings);
    }

    private static void CheckKeeper(Keeper keeper, Findings findings)
    {
        const string advice = "An hour of the local day; 22.5 is half past ten in the evening.";
        findings.Within("keeper.awakeFromHour", keeper.AwakeFromHour, 0, 24, "h", advice);
        findings.Within("keeper.asleepFromHour", keeper.AsleepFromHour, 0, 24, "h", advice);
        findings.WithinIfGiven("keeper.leavesAtHour", keeper.LeavesAtHour, 0, 24, "h", advice);
        findings.WithinIfGiven("keeper.backAtHour", keeper.BackAtHour, 0, 24, "h", advice);
        findings.Require(keeper.LeavesAtHour is null == keeper.BackAtHour is null, "keeper.leavesAtHour", keeper.LeavesAtHour, "given exactly when keeper.backAtHour is given", "Give both, or neither.");
    }
}
