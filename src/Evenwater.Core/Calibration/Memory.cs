namespace Evenwater.Core.Calibration;

/// <summary>
/// What readings are worth that resemble the one before: n (1 - r) / (1 + r) of them (Santer and others 2000, J. Geophys. Res. 105:7337, from memory), r the correlation
/// of neighbouring residuals, raised by (1 + 4 r) / n because a short window shows too little of it (Kendall 1954, from memory).
/// </summary>
internal static class Memory
{
    /// <summary>How many independent readings they are worth, at most all of them.</summary>
    /// <param name="residuals">What a straight line leaves of the readings, in order of time.</param>
    /// <param name="negligible">Residuals as small as this are the arithmetic's own, and have no memory.</param>
    public static double Worth(ReadOnlySpan<double> residuals, double negligible)
    {
        var (squares, neighbours) = (0.0, 0.0);
        for (var i = 0; i < residuals.Length; i++)
        {
            squares += residuals[i] * residuals[i];
            if (i > 0) neighbours += residuals[i] * residuals[i - 1];
        }

        if (squares <= negligible * negligible * residuals.Length) return residuals.Length;
        var seen = neighbours / squares;
        var memory = Math.Clamp(seen + ((1 + (4 * seen)) / residuals.Length), 0, 1);
        return residuals.Length * (1 - memory) / (1 + memory);
    }
}
