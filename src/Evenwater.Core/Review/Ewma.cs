namespace Evenwater.Core.Review;

/// <summary>
/// An exponentially weighted moving average against limits for the long run (NIST/SEMATECH e-Handbook 6.3.2.4; Roberts 1959): mean = weight x + (1 - weight) mean,
/// limits target ± width sd √(weight / (2 - weight)).
/// </summary>
/// <param name="Target">The mean while nothing has changed, in the values' unit.</param>
/// <param name="Sd">The values' standard deviation, more than 0; of independent values.</param>
/// <param name="Weight">Of the newest value, above 0 to 1.</param>
/// <param name="Width">Of the limits, in standard deviations of the average, more than 0.</param>
/// <param name="Mean">The average so far.</param>
public readonly record struct Ewma(double Target, double Sd, double Weight, double Width, double Mean)
{
    /// <summary>From the start, at the target.</summary>
    public Ewma(double target, double sd, double weight, double width)
        : this(target, sd, weight, width, target)
    {
    }

    /// <summary>How far the limits lie from the target, in the values' unit.</summary>
    public double HalfWidth => Width * Sd * Math.Sqrt(Weight / (2 - Weight));

    /// <summary>1 above the limits, -1 below, 0 while there is no signal.</summary>
    public int Signal => Mean > Target + HalfWidth ? 1 : Mean < Target - HalfWidth ? -1 : 0;

    /// <summary>The average after one more value.</summary>
    /// <param name="value">Finite.</param>
    public Ewma Add(double value) => this with { Mean = (Weight * value) + ((1 - Weight) * Mean) };
}
