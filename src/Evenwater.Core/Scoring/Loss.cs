using Evenwater.Core.Estimation;

namespace Evenwater.Core.Scoring;

/// <summary>
/// How bad a forecast of a time was, in ln of seconds, so that a factor of two early costs what a factor of two late does. Times
/// are taken between 30 s (closer is the same moment) and 48 h (what lies beyond counts as 48 h).
/// </summary>
public static class Loss
{
    /// <summary>Closer than this is the same moment, s.</summary>
    private const double Floor = 30;

    private static ReadOnlySpan<double> Levels => [0.05, 0.25, 0.5, 0.75, 0.95];

    /// <summary>
    /// Twice the mean quantile loss over the 5, 25, 50, 75 and 95 % quantiles (Gneiting and Raftery 2007, "Strictly proper scoring
    /// rules, prediction, and estimation", section 6: the quantile score). 0 or more, ln s.
    /// </summary>
    public static double Pinball(in Quantiles forecast, double truth)
    {
        ReadOnlySpan<double> said = [forecast.P05, forecast.P25, forecast.P50, forecast.P75, forecast.P95];
        var sum = 0.0;
        for (var i = 0; i < said.Length; i++)
        {
            var miss = Ln(truth) - Ln(said[i]);
            sum += miss >= 0 ? Levels[i] * miss : (Levels[i] - 1) * miss;
        }

        return 2 * sum / said.Length;
    }

    /// <summary>
    /// The continuous ranked probability score, the integral of (F(x) − 1{x ≥ truth})² (Gneiting and Raftery 2007, section 4.2, with
    /// the sign that makes less better), of the distribution that five quantiles leave: even between them, and the outermost
    /// 5 % heaped on the 5 and the 95 % quantile. For a normal forecast this is about a twentieth more than the exact
    /// score when the truth is the median. 0 or more, ln s.
    /// </summary>
    public static double Crps(in Quantiles forecast, double truth)
    {
        ReadOnlySpan<double> said = [Ln(forecast.P05), Ln(forecast.P25), Ln(forecast.P50), Ln(forecast.P75), Ln(forecast.P95)];
        var y = Ln(truth);
        var sum = Math.Max(said[0] - y, 0) + Math.Max(y - said[^1], 0);
        for (var i = 0; i + 1 < said.Length; i++)
        {
            var (from, to) = (said[i], said[i + 1]);
            if (!(to > from))
            {
                continue;
            }

            var split = Math.Clamp(y, from, to);
            var atSplit = Levels[i] + ((Levels[i + 1] - Levels[i]) * (split - from) / (to - from));
            sum += (split - from) * MeanSquare(Levels[i], atSplit);
            sum += (to - split) * MeanSquare(1 - atSplit, 1 - Levels[i + 1]);
        }

        return sum;
    }

    /// <summary>Whether the truth lies in the 90 % interval.</summary>
    public static bool Covers(in Quantiles forecast, double truth) => forecast.P05 <= truth && truth <= forecast.P95;

    /// <summary>|median − truth| / truth; a median beyond the horizon counts as 48 h.</summary>
    public static double RelativeError(in Quantiles forecast, double truth) =>
        Math.Abs(Math.Min(forecast.P50, Quantiles.HorizonSeconds) - truth) / truth;

    /// <summary>Mean of the square of a line from a to b.</summary>
    private static double MeanSquare(double a, double b) => ((a * a) + (a * b) + (b * b)) / 3;

    private static double Ln(double seconds) => Math.Log(Math.Clamp(seconds, Floor, Quantiles.HorizonSeconds));
}
