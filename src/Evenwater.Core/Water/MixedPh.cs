namespace Evenwater.Core.Water;

/// <summary>A water of which pH and alkalinity were measured, and how well.</summary>
/// <param name="Ph">4 to 10.</param>
/// <param name="PhDoubt">Plus or minus, 0 to 1; a good meter 0.1, a strip 0.5 (common practice, no source).</param>
/// <param name="Milliequivalents">Alkalinity, meq/L, above 0 to 20.</param>
/// <param name="MilliequivalentsDoubt">Plus or minus, meq/L; a drop test about half a degree, 0.18 (common practice, no source).</param>
public readonly record struct BufferedWater(double Ph, double PhDoubt, double Milliequivalents, double MilliequivalentsDoubt);

/// <summary>
/// pH of two fresh waters mixed without air: their alkalinity and their carbon add up, their pH does not, neither itself nor as hydrogen ions. PHREEQC
/// agrees to 0.001. What comes out is often nearer to the lower pH, depends on both alkalinities, and is a range when they are doubtful.
/// </summary>
public static class MixedPh
{
    /// <summary>pH of a mix at one temperature, no CO2 lost; <see cref="Carbonate.CarbonMillimoles"/> tells the ranges.</summary>
    /// <param name="ph">Of the first water.</param>
    /// <param name="milliequivalents">Its alkalinity, meq/L.</param>
    /// <param name="otherPh">Of the other.</param>
    /// <param name="otherMilliequivalents">Its alkalinity, meq/L.</param>
    /// <param name="shareOfOther">0 to 1, by volume.</param>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double Of(double ph, double milliequivalents, double otherPh, double otherMilliequivalents, double shareOfOther, double celsius)
    {
        var share = Quantities.Bounds.Check(shareOfOther, 0, 1, "(a share)");
        var carbon = ((1 - share) * Carbonate.CarbonMillimoles(ph, milliequivalents, celsius)) + (share * Carbonate.CarbonMillimoles(otherPh, otherMilliequivalents, celsius));
        return Carbonate.Ph(((1 - share) * milliequivalents) + (share * otherMilliequivalents), carbon, celsius);
    }

    /// <summary>
    /// The same of doubtful waters: the lowest and the highest pH at the corners of both doubts. Alkalinity is held between 0.01 and 20 meq/L there, for none
    /// at all has no pH to speak of.
    /// </summary>
    /// <param name="one">The first water.</param>
    /// <param name="other">The other.</param>
    /// <param name="shareOfOther">0 to 1, by volume.</param>
    /// <param name="celsius">0 to 90 °C.</param>
    public static Doubtful Between(BufferedWater one, BufferedWater other, double shareOfOther, double celsius)
    {
        var middle = Of(one.Ph, one.Milliequivalents, other.Ph, other.Milliequivalents, shareOfOther, celsius);
        var (low, high) = (middle, middle);
        for (var corner = 0; corner < 16; corner++)
        {
            double Sign(int bit) => (corner & (1 << bit)) == 0 ? -1 : 1;
            var at = Of(
                one.Ph + (Sign(0) * one.PhDoubt), Alkalinity(one, Sign(1)), other.Ph + (Sign(2) * other.PhDoubt), Alkalinity(other, Sign(3)), shareOfOther, celsius);
            (low, high) = (Math.Min(low, at), Math.Max(high, at));
        }

        return new Doubtful(low, middle, high);
    }

    private static double Alkalinity(BufferedWater water, double sign)
        => Math.Clamp(water.Milliequivalents + (sign * water.MilliequivalentsDoubt), 0.01, Carbonate.MaxMilliequivalents);
}
