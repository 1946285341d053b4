using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Months;

/// <summary>Draws what happens in a month: two things some days apart, and in a fifth of the months a third within a day of one of them.</summary>
internal static class Planting
{
    private const double UnknownShare = 0.18;
    private const double NearShare = 0.2;

    public static IReadOnlyList<Planted> Of(Chance chance, bool marine, double litres)
    {
        List<Planted> all = [Draw(chance, marine, litres, chance.Whole(7 * 1440, 10 * 1440)), Draw(chance, marine, litres, chance.Whole(18 * 1440, 21 * 1440))];
        if (chance.Happens(NearShare)) all.Add(Draw(chance, marine, litres, all[0].Minute + chance.Whole(5 * 60, 24 * 60)));
        return [.. all.OrderBy(one => one.Minute)];
    }

    private static Planted Draw(Chance chance, bool marine, double litres, int minute)
    {
        var kind = chance.Happens(UnknownShare) ? (PlantedKind)chance.Whole((int)PlantedKind.Hump, (int)PlantedKind.Restless) : (PlantedKind)chance.Whole(0, (int)PlantedKind.Drip);
        if (kind == PlantedKind.SaltCreep && !marine) kind = PlantedKind.Dose;
        int Days(double low, double high) => minute + (int)(1440 * chance.Between(low, high));
        var (until, amount) = kind switch
        {
            PlantedKind.WaterChange => (minute + chance.Whole(12, 45), litres * chance.Between(0.15, 0.45)),
            PlantedKind.TopOff => (minute + chance.Whole(3, 12), litres * chance.Between(0.02, 0.05)),
            PlantedKind.Evaporation => (Days(3, 5), litres * chance.Between(0.012, 0.03)), // L a day
            PlantedKind.Dose => (minute + chance.Whole(20, 90), marine ? chance.Between(1.5, 4) : chance.Between(2, 8)), // %
            PlantedKind.Overfeeding => (Days(1.5, 2.5), chance.Between(4, 9)), // % in the end
            PlantedKind.Heater => (minute + 1, chance.Sign() * chance.Between(0.8, 2)), // °C
            PlantedKind.Light => (Days(4, 8), chance.Sign() * chance.Between(1, 3)), // h of shift
            PlantedKind.SaltCreep => (Days(5, 8), chance.Between(0.35, 0.8)), // % a day
            PlantedKind.Fouling => (Days(3, 6), chance.Between(1.2, 3)), // % a day at first
            PlantedKind.OutOfWater => (minute + chance.Whole(40, 400), chance.Between(0.0005, 0.02)), // what is left
            PlantedKind.Calibration => (minute + 1, chance.Sign() * chance.Between(1.5, 6)), // %
            PlantedKind.PowerCut => (minute + chance.Whole(90, 480), 0),
            PlantedKind.Drip => (minute + chance.Whole(150, 420), litres * chance.Between(0.03, 0.08)),
            PlantedKind.Hump => (minute + chance.Whole(200, 500), chance.Sign() * chance.Between(2.5, 6)),
            PlantedKind.WarmSpell => (minute + chance.Whole(180, 400), chance.Between(0.7, 2)),
            _ => (minute + chance.Whole(900, 1440), chance.Between(1.5, 4)),
        };
        return new Planted(kind, minute, until, amount, Told: chance.Happens(0.7));
    }

    /// <summary>Tells when what came of each passed three robust sigmas, in a minute that was measured; restlessness is measured as a spread of three.</summary>
    public static void Measure(TankMonth month)
    {
        foreach (var one in month.Planted)
        {
            var next = month.Planted.Where(other => other.Minute > one.Minute).Select(other => other.Minute).DefaultIfEmpty(TankMonth.Minutes).Min();
            for (var minute = one.Minute; minute < Math.Min(next, TankMonth.Minutes); minute++)
            {
                double Of(double[] moved, double sd) => Math.Abs(moved[minute] - moved[one.Minute - 1]) / sd;
                var of = (Conductivity: one.Kind == PlantedKind.Restless ? one.Amount : Of(month.Moved.Conductivity, month.Restless.Conductivity),
                    Temperature: Of(month.Moved.Temperature, month.Restless.Temperature), Light: Of(month.Moved.Light, month.Restless.Light));
                var sigmas = one.Kind == PlantedKind.Restless ? one.Amount : Math.Max(of.Conductivity, Math.Max(of.Temperature, of.Light));
                one.Most = Math.Max(one.Most, sigmas);
                if (minute <= (one.ThreeSigmas ?? minute) + 120) one.Remember(of.Conductivity, of.Temperature, of.Light);
                if (sigmas >= 3 && !double.IsNaN(month.Temperature[minute])) one.ThreeSigmas ??= minute;
            }
        }
    }
}
