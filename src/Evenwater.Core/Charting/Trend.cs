using Evenwater.Core.Calibration;

namespace Evenwater.Core.Charting;

/// <summary>How fast a line rose or fell over all of it.</summary>
/// <param name="P50">The slope by least squares, units of the channel an hour.</param>
/// <param name="HalfWidth">To either side of it as far as the slope lies with a probability of 90 %.</param>
public readonly record struct Trend(double P50, double HalfWidth)
{
    private const int Fewest = 5;

    /// <summary>Lower end of the range, 5 %.</summary>
    public double P05 => P50 - HalfWidth;

    /// <summary>Upper end of the range, 95 %.</summary>
    public double P95 => P50 + HalfWidth;

    /// <summary>Whether the range tells rising from falling.</summary>
    public bool Tells => Math.Abs(P50) > HalfWidth;

    /// <summary>
    /// Through the means of the stretches that were read; null when they are worth too few to say. Stretches that resemble the one before say less than they count
    /// (<see cref="Memory"/>), and a straight line is an assumption: over a day with its own course the range is wide.
    /// </summary>
    public static Trend? Of(ChartLine line)
    {
        int[] places = [.. Enumerable.Range(0, line.Bins.Count).Where(i => line.Bins[i] is not null)];
        if (places.Length < Fewest) return null;
        double[] hours = [.. places.Select(i => i * line.Axis.Step.TotalHours)];
        double[] values = [.. places.Select(i => line.Bins[i]!.Value.Mean)];
        var fit = StraightLine.Fit(hours, values);
        double[] residuals = [.. values.Select((value, i) => value - fit.At(hours[i]))];
        // Far below what any probe tells: the arithmetic's own remainder.
        var degrees = Memory.Worth(residuals, negligible: 1e-9 * Math.Max(1, Math.Abs(values[0]))) - 2;
        return degrees < 1 ? null : new(fit.Slope, StudentT.OneSided95(degrees) * fit.SlopeSd(Math.Sqrt(fit.SumSquares / degrees)));
    }
}
