using Evenwater.Core.Estimation;

namespace Evenwater.Nights.Scoring;

/// <summary>How bad a forecast of a time was, in ln of seconds, so that a factor of two early costs what a factor of two late does.</summary>
public static class Loss
{
    /// <summary>Closer than this is the same moment, s.</summary>
    private const double Floor = 30;

    private static readonly double[] Levels = [0.05, 0.25, 0.5, 0.75, 0.95];

    /// <summary>Twice the mean pinball loss over the five quantiles (Gneiting and Raftery 2007: it approaches the CRPS).</summary>
    public static double Pinball(in Quantiles forecast, double truth)
    {
        double[] said = [forecast.P05, forecast.P25, forecast.P50, forecast.P75, forecast.P95];
        var sum = 0.0;
        for (var i = 0; i < said.Length; i++)
        {
            var miss = Ln(truth) - Ln(said[i]);
            sum += miss >= 0 ? Levels[i] * miss : (Levels[i] - 1) * miss;
        }

        return 2 * sum / said.Length;
    }

    /// <summary>Whether the truth lies in the 90 % interval.</summary>
    public static bool Covers(in Quantiles forecast, double truth) => forecast.P05 <= truth && truth <= forecast.P95;

    /// <summary>|median - truth| / truth.</summary>
    public static double RelativeError(in Quantiles forecast, double truth) =>
        Math.Abs(Math.Min(forecast.P50, Quantiles.HorizonSeconds) - truth) / truth;

    private static double Ln(double seconds) => Math.Log(Math.Clamp(seconds, Floor, Quantiles.HorizonSeconds));
}
