namespace Evenwater.Core.Standing;

/// <summary>What is usual in one hour of the local day, in the channel's unit.</summary>
/// <param name="Days">On how many days it rests.</param>
/// <param name="Median">The middle of those days.</param>
/// <param name="Low">A tenth of the days were below.</param>
/// <param name="High">A tenth of the days were above.</param>
/// <param name="Sd">How far a day lies from the median, as a standard deviation; never less than what the probe itself can tell.</param>
public readonly record struct HourBaseline(int Days, double Median, double Low, double High, double Sd)
{
    /// <summary>Fewer days than this say nothing: a fortnight has seen every weekday twice. Common practice, no source.</summary>
    public const int LeastDays = 14;

    /// <summary>
    /// A reading this many standard deviations off is outside. Of 14 days of a normal distribution 0.6 % of the next ones lie farther off, of 28 days 0.15 %
    /// (40,000 drawn); at 3.5, as Iglewicz and Hoaglin (1993) propose for outliers within a sample, 1.8 % and 0.6 %: one call a day from 72 hours looked at.
    /// </summary>
    public const double OutsideSds = 4.5;

    /// <summary>Whether there are days enough.</summary>
    public bool Tells => Days >= LeastDays;

    /// <summary>The lowest value that is not outside.</summary>
    public double Least => Median - (OutsideSds * Sd);

    /// <summary>The highest value that is not outside.</summary>
    public double Most => Median + (OutsideSds * Sd);

    /// <summary>Whether a value is outside what is usual; null while that can not be told.</summary>
    public bool? Outside(double value) => Tells ? value < Least || value > Most : null;

    /// <summary>Of the means of one hour, one value a day.</summary>
    /// <param name="days">One or more, finite.</param>
    /// <param name="leastSd">What the probe itself can tell, in the channel's unit, more than 0.</param>
    internal static HourBaseline Of(IReadOnlyCollection<double> days, double leastSd) => new(
        days.Count, Spread.Median(days), Spread.Quantile(days, 0.1), Spread.Quantile(days, 0.9),
        Math.Max(leastSd, Spread.NormalFactor * Spread.MedianDeviation(days)));
}
