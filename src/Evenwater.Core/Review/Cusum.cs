namespace Evenwater.Core.Review;

/// <summary>
/// Page's cumulative sums for a shift of the mean, up and down (NIST/SEMATECH e-Handbook 6.3.2.3, the tabular form):
/// high = max(0, high + x - target - slack), low = max(0, low + target - x - slack).
/// </summary>
/// <param name="Target">The mean while nothing has changed, in the values' unit.</param>
/// <param name="Slack">What is let pass at each value, in the values' unit, 0 or more; half the shift to be found.</param>
/// <param name="Limit">A sum above this is a signal, in the values' unit, more than 0.</param>
/// <param name="High">The sum upwards, 0 or more.</param>
/// <param name="Low">The sum downwards, 0 or more.</param>
public readonly record struct Cusum(double Target, double Slack, double Limit, double High = 0, double Low = 0)
{
    /// <summary>1 above, -1 below, 0 while there is no signal.</summary>
    public int Signal => High > Limit ? 1 : Low > Limit ? -1 : 0;

    /// <summary>The sums after one more value.</summary>
    /// <param name="value">Finite.</param>
    public Cusum Add(double value) => this with
    {
        High = Math.Max(0, High + (value - Target) - Slack),
        Low = Math.Max(0, Low + (Target - value) - Slack),
    };
}
