using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Core.Planning;

/// <summary>Something that a keeper tested in both waters, and what is left of the difference when the valve closes.</summary>
/// <param name="What">In words, with its unit.</param>
/// <param name="Bag">In the bag.</param>
/// <param name="Tank">In the tank.</param>
/// <param name="AtEnd">In the vessel at the end; a range where it can only be told so.</param>
public readonly record struct Residual(string What, double Bag, double Tank, Doubtful AtEnd);

/// <summary>
/// What is left at the end of what was dissolved in the bag: hardness, alkalinity and ammonia thin out with the share of water that was replaced, whatever the
/// conductivity says. pH does not: it follows from alkalinity and carbon, which do.
/// </summary>
public static class Residuals
{
    /// <summary>A keeper's pH, plus or minus: between a good meter's 0.1 and a strip's 0.5. Common practice, no source.</summary>
    public const double PhDoubt = 0.2;

    /// <summary>A drop test of hardness, plus or minus half a degree. Common practice, no source.</summary>
    public const double DegreesDoubt = 0.5;

    /// <summary>For a station; empty when nothing was tested, or the run does not end.</summary>
    /// <param name="station">The station.</param>
    /// <param name="whenClosed">The vessel at the end.</param>
    /// <param name="ammonia">The bag's ammonia, assumed from the hours in transit when nobody measured it.</param>
    public static IReadOnlyList<Residual> Of(Station station, CourseAt? whenClosed, TransitAmmonia? ammonia)
    {
        ArgumentNullException.ThrowIfNull(station);
        if (whenClosed is not { } closed) return [];
        var (waters, share) = (station.Waters, Math.Clamp(closed.BagShare, 0, 1));
        var found = new List<Residual>();
        Thinned("general hardness, °d", waters.BagGeneralHardnessDegrees, waters.TankGeneralHardnessDegrees, DegreesDoubt);
        Thinned("carbonate hardness, °d", waters.BagCarbonateHardnessDegrees, waters.TankCarbonateHardnessDegrees, DegreesDoubt);
        Thinned("ammonia in all, mg/L", ammonia?.TotalMilligramsPerLitre ?? station.Arrival.TotalAmmoniaMilligramsPerLitre, 0, 0);
        Thinned("nitrite, mg/L", station.Arrival.NitriteMilligramsPerLitre, 0, 0);
        if (Ph(waters, share, closed.Celsius) is { } ph) found.Add(new("pH, without air", waters.BagPh!.Value, waters.TankPh!.Value, ph));
        return found;

        void Thinned(string what, double? bag, double? tank, double doubt)
        {
            if (bag is not { } first || tank is not { } other) return;
            var end = other + ((first - other) * share);
            found.Add(new(what, first, other, new Doubtful(Math.Max(0, end - doubt), end, end + doubt)));
        }
    }

    /// <summary>The mixture's pH as a range; null when a test is missing, or tells of a water that carbonate alone does not make.</summary>
    private static Doubtful? Ph(Waters waters, double bagShare, double celsius)
    {
        if (waters is not { BagPh: { } bagPh, TankPh: { } tankPh, BagCarbonateHardnessDegrees: { } bag, TankCarbonateHardnessDegrees: { } tank } || celsius is not (>= 0 and <= 90)) return null;
        try
        {
            return MixedPh.Between(Water(bagPh, bag), Water(tankPh, tank), 1 - bagShare, celsius);
        }
        catch (ArgumentOutOfRangeException)
        {
            // Which pairs of pH and alkalinity can not be only the equilibrium itself tells, and it tells so by refusing.
            return null;
        }

        static BufferedWater Water(double ph, double degrees) =>
            new(ph, PhDoubt, CarbonateHardness.MilliequivalentsPerDegree * degrees, CarbonateHardness.MilliequivalentsPerDegree * DegreesDoubt);
    }
}
