namespace Evenwater.Core.Scoring;

/// <summary>What a share counted on few cases allows to be said about the true share.</summary>
public static class Wilson
{
    /// <summary>97.5 % point of the standard normal distribution.</summary>
    private const double Z = 1.959964;

    /// <summary>
    /// The 95 % score interval of a share (Wilson 1927, "Probable inference, the law of succession, and statistical inference").
    /// Cases are taken as independent.
    /// </summary>
    /// <param name="hits">0 to <paramref name="of"/>.</param>
    /// <param name="of">How many cases; 0 gives 0 to 1.</param>
    public static (double Low, double High) Interval(int hits, int of)
    {
        if (hits < 0 || hits > of)
        {
            throw new ArgumentOutOfRangeException(nameof(hits), hits, $"0 to {of}");
        }

        if (of == 0)
        {
            return (0, 1);
        }

        var share = (double)hits / of;
        const double z2 = Z * Z;
        var middle = (share + (z2 / (2 * of))) / (1 + (z2 / of));
        var half = Z / (1 + (z2 / of)) * Math.Sqrt((share * (1 - share) / of) + (z2 / (4.0 * of * of)));
        return (Math.Max(middle - half, 0), Math.Min(middle + half, 1));
    }
}
