namespace Evenwater.Core.Estimation;

/// <summary>The dilution of a stirred vessel by what is added; see the closed forms of any text on stirred tanks.</summary>
internal static class Dilution
{
    /// <summary>Fraction of the difference that is kept, and the volume after, when <paramref name="added"/> L enter and what
    /// exceeds <paramref name="ceiling"/> L leaves mixed: V/(V + added) while it fills, exp(-added/V) while it overflows.</summary>
    public static (double Kept, double Volume) Of(double volume, double added, double ceiling)
    {
        var free = Math.Max(ceiling - volume, 0);
        if (added <= free)
        {
            return (volume / (volume + added), volume + added);
        }

        var full = volume + free;
        return (volume / full * Math.Exp(-(added - free) / full), full);
    }
}
