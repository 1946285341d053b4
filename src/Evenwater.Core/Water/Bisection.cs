namespace Evenwater.Core.Water;

/// <summary>Where a rising function takes a value, by halving: slow, and it never leaves its interval.</summary>
internal static class Bisection
{
    /// <summary>More halvings than a double has digits for.</summary>
    private const int Halvings = 70;

    /// <summary>The argument between <paramref name="low"/> and <paramref name="high"/>; the nearer end where the function does not take the value.</summary>
    public static double Rising(Func<double, double> function, double value, double low, double high)
    {
        for (var i = 0; i < Halvings; i++)
        {
            var middle = (low + high) / 2;
            if (function(middle) < value) low = middle;
            else high = middle;
        }

        return (low + high) / 2;
    }
}
