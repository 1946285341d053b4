namespace Evenwater.Core.Review;

/// <summary>One change of the mean of independent values: where it is likeliest, by least squares, with its interval.</summary>
/// <param name="After">How many values lie before it, 1 to n - 1.</param>
/// <param name="Least">The interval's lower end, in the same count.</param>
/// <param name="Most">The interval's upper end.</param>
/// <param name="Before">The mean before.</param>
/// <param name="Behind">The mean behind it.</param>
/// <param name="BrokenSquares">Sum of squares about the two means.</param>
public readonly record struct LevelBreak(int After, int Least, int Most, double Before, double Behind, double BrokenSquares)
{
    /// <summary>95 % of Bai's distribution of the break's place lie within this many variance/shift² (Bai 1997, Econometric Reviews 16, symmetric case, 11.03; from memory).</summary>
    private const double BaiFactor = 11.03;

    /// <summary>The likeliest break; null when there is none to be told: fewer than four values, or no spread.</summary>
    /// <param name="values">Finite, in order of time.</param>
    /// <param name="edge">At least this many values on either side, 1 or more.</param>
    public static LevelBreak? Of(ReadOnlySpan<double> values, int edge = 2)
    {
        if (values.Length < 2 * Math.Max(edge, 2)) return null;
        var n = values.Length;
        double sum = 0, squares = 0;
        foreach (var value in values) sum += value;
        var mean = sum / n;
        foreach (var value in values) squares += (value - mean) * (value - mean);
        var (at, best, left) = (0, 0.0, 0.0);
        for (var i = 1; i <= n - edge; i++)
        {
            left += values[i - 1] - mean;
            var between = left * left * n / ((double)i * (n - i));
            if (i >= edge && between > best) (at, best) = (i, between);
        }

        if (at == 0) return null;
        double before = 0;
        foreach (var value in values[..at]) before += value;
        (before, var behind) = (before / at, (sum - before) / (n - at));
        var shift = behind - before;
        var broken = Math.Max(0, squares - best);
        var half = (int)(BaiFactor * broken / n / (shift * shift)) + 1;
        return new(at, Math.Max(1, at - half), Math.Min(n - 1, at + half), before, behind, broken);
    }
}
