using Evenwater.Core.Safety;

namespace Evenwater.Core.Stations;

/// <summary>Ranges of the budgets and times that close the valve whatever happens.</summary>
internal static class SafetyRules
{
    /// <summary>Budgets are added up from decimal numbers; this much is not a difference, L.</summary>
    private const double RoundingLitres = 1e-9;

    /// <summary>A permission that ends before the next cycle, one a second and some late, lets the driver go in each (0.6 s after the last edge, hardware/README.md): the valve would chatter, s. Derivation.</summary>
    private const double ShortestLeaseSeconds = 1.5;

    public static void Check(Station station, Findings findings)
    {
        var safety = station.Safety;
        findings.Within("safety.maxOpenMinutes", safety.MaxOpenMinutes, 1, 48 * 60, "min", "The longest the valve may be open in one run.");
        CheckVolumeBudget(station, findings);
        findings.Within("safety.tripProbability", safety.TripProbability, 0, 0.2, "(a probability)", "0.02 closes at two chances in a hundred before the waters are even, and at one in a thousand once they are.");
        findings.Within("safety.tripHorizonSeconds", safety.TripHorizonSeconds, 60, 4 * 3600, "s", "150 is usual: as long as a forecast may be old, and one more.");
        findings.Within("safety.leaseSeconds", safety.LeaseSeconds, ShortestLeaseSeconds, 3, "s", "A hung program must let go within 3 s, and a permission is renewed once a second.");
        findings.Within("safety.floatDebounceMilliseconds", safety.FloatDebounceMilliseconds, 50, 1000, "ms", "Long enough for ripples, short enough to act.");
        findings.Within("proof.everyDays", station.Proof.EveryDays, 1, 366, "days", "30 is usual: what hangs or is welded shows only when it is tried.");
        findings.Within("weeklyTest.atHour", station.WeeklyTest.AtHour, 0, 23, "h", "A full hour of the local day; 12 is noon.");
        findings.Require(station.WeeklyTest.AtHour % 1 == 0 || station.WeeklyTest.AtHour is not (>= 0 and <= 23), "weeklyTest.atHour", station.WeeklyTest.AtHour, "full hours, 0 to 23", "Leave out the minutes; 12 is noon.");
    }

    private static void CheckVolumeBudget(Station station, Findings findings)
    {
        var room = InflowBudget.RoomLitres(station.Vessel);
        foreach (var drawOff in station.DrawOffs) room += drawOff.Litres;
        findings.Require(station.Safety.MaxInflowLitres > 0 && station.Safety.MaxInflowLitres <= room + RoundingLitres,
            "safety.maxInflowLitres", station.Safety.MaxInflowLitres,
            $"more than 0, to what the vessel can still take to its brim, {Findings.Text(room)} L (with a standpipe to that and catchLitres, plus draw-offs)",
            "Lower the budget, or give the vessel's true size.");
    }
}
