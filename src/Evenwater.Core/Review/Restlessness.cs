using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>
/// What a channel does by itself: each point errs on its own, and about a middle that wanders and comes back (a nugget and an exponential variogram, Matheron 1963). Told by
/// how much points differ that lie a quarter of an hour to eight hours apart, by the median deviation, so that what happened now and then moves it little.
/// </summary>
/// <param name="Alone">Variance of what each point errs on its own, in the square of the values' unit, more than 0.</param>
/// <param name="Lasting">Variance of what wanders, 0 or more.</param>
/// <param name="Keep">How alike that is from one point to the next, 0 to below 1.</param>
public readonly record struct Restlessness(double Alone, double Lasting, double Keep)
{
    private const int Farthest = 32;

    /// <summary>Measured on end for so long, h, a channel tells what it does by itself: a day, and the eight hours that points lie apart.</summary>
    public const double LeastHours = 24.0 * (Course.PerDay + Farthest) / Course.PerDay;

    /// <summary>Days from which a part of a month tells its own restlessness. Common practice, no source.</summary>
    private const int LeastDays = 10;

    /// <summary>Ten days tell a spread to some 8 % (seen in drawn noise with a memory of an hour): so much is two and a half times that.</summary>
    private const double Plainly = 1.2;

    /// <summary>The middle of a mean of squares that counts for some ten independent ones, as a share of what is expected of it: 9.342 / 10 (chi-square, any table).</summary>
    internal const double MiddleOfMean = 0.934;

    private static readonly double[] TimesOfMemory = [1, 1.4, 2, 2.8, 4, 5.6, 8, 11.3, 16, 22.6, 32]; // points

    /// <summary>Whether it was measured for long enough to tell it at all; if not, nothing can be held against it.</summary>
    public bool IsKnown { get; private init; }

    /// <summary>1-sigma of a single point about what the channel is, in its unit.</summary>
    public double OfPoint => Math.Sqrt(Alone + Lasting);

    /// <summary>Of a course's values.</summary>
    /// <param name="values">A quarter of an hour apart; null where nothing was measured.</param>
    /// <param name="least">1-sigma of a point at the least, in the values' unit, more than 0: what the device can tell at all.</param>
    /// <param name="mayCalm">Whether it may become calmer for good, as a conductivity cell does by a film: what it did before must not look like swings, so a part that is plainly more restless counts.</param>
    public static Restlessness Of(IReadOnlyList<double?> values, double least, bool mayCalm = false)
    {
        var silent = values.TakeWhile(value => value is null).Count();
        if (silent > 0) values = [.. values.Skip(silent)];
        var days = values.Count / Course.PerDay;
        var whole = OfDays(values, 0, days, least);
        if (!mayCalm || days < 2 * LeastDays) return whole;
        var parts = days / LeastDays;
        var most = Enumerable.Range(0, parts).Select(part => OfDays(values, days * part / parts, days * (part + 1) / parts, least)).MaxBy(one => one.OfPoint);
        return most.OfPoint > Plainly * whole.OfPoint ? most : whole;
    }

    private static Restlessness OfDays(IReadOnlyList<double?> values, int fromDay, int toDay, double least)
    {
        var differs = new double[Farthest + 1]; // half the mean square
        var known = true;
        for (var apart = 1; apart <= Farthest; apart++)
        {
            var seen = HalfSquare(values, apart, fromDay, toDay);
            known &= seen is not null;
            differs[apart] = seen ?? 0;
        }

        var (best, off) = (new Restlessness(differs[1], 0, 0), double.PositiveInfinity);
        foreach (var points in TimesOfMemory)
        {
            var keep = Math.Exp(-1 / points);
            var (fitted, squares) = Fitted(differs, keep);
            if (squares < off) (best, off) = (fitted, squares);
        }

        return best with { Alone = Math.Max(best.Alone, least * least), IsKnown = known };
    }

    /// <summary>How many times the variance of an exponentially weighted average is that of one of independent points, 1 or more.</summary>
    /// <param name="weight">Of the newest point.</param>
    public double Longer(double weight)
    {
        // Σ Σ w (1-w)^i w (1-w)^j keep^|i-j| over w / (2 - w).
        var kept = Keep * (1 - weight);
        return (Alone + (Lasting * (1 + kept) / (1 - kept))) / (Alone + Lasting);
    }

    /// <summary>1-sigma of a weighted sum of neighbours.</summary>
    public double Sd(ReadOnlySpan<double> weights)
    {
        // Σ Σ w_i w_j keep^|i-j| by one sum that fades.
        double alone = 0, both = 0, faded = 0;
        foreach (var weight in weights)
        {
            both += weight * (weight + (2 * Keep * faded));
            faded = (Keep * faded) + weight;
            alone += weight * weight;
        }

        return Math.Sqrt((Alone * alone) + (Lasting * both));
    }

    /// <summary>
    /// Weights by which the size of a known shape is told best from neighbours at an unknown level (generalised least squares, Aitken 1935), the shape's last value being 1.
    /// </summary>
    public double[] Best(ReadOnlySpan<double> shape)
    {
        var ones = new double[shape.Length];
        ones.AsSpan().Fill(1);
        var (ofShape, ofOnes) = (Without(shape), Without(ones));
        double shapes = 0, mixed = 0, levels = 0;
        for (var i = 0; i < shape.Length; i++)
        {
            shapes += ofShape[i] * shape[i];
            mixed += ofOnes[i] * shape[i];
            levels += ofOnes[i];
        }

        var whole = shapes - (mixed * mixed / levels);
        for (var i = 0; i < shape.Length; i++) ofShape[i] = (ofShape[i] - (mixed / levels * ofOnes[i])) / whole;
        return ofShape;
    }

    /// <summary>The covariance's inverse times a vector. With P the wandering part's precision, which has three diagonals: (Alone + 1/P)⁻¹ = P (Alone P + 1)⁻¹.</summary>
    private double[] Without(ReadOnlySpan<double> vector)
    {
        var n = vector.Length;
        var solved = new double[n];
        if (Lasting <= 0)
        {
            for (var i = 0; i < n; i++) solved[i] = vector[i] / Alone;
            return solved;
        }

        var unit = 1 / (Lasting * (1 - (Keep * Keep)));
        var (end, middle, side) = (unit, unit * (1 + (Keep * Keep)), -unit * Keep);
        double Diagonal(int i) => i == 0 || i == n - 1 ? end : middle;
        var ratio = new double[n];
        for (var i = 0; i < n; i++)
        {
            // Thomas' way for three diagonals.
            var pivot = (Alone * Diagonal(i)) + 1 - (i > 0 ? Alone * side * ratio[i - 1] : 0);
            ratio[i] = Alone * side / pivot;
            solved[i] = (vector[i] - (i > 0 ? Alone * side * solved[i - 1] : 0)) / pivot;
        }

        for (var i = n - 2; i >= 0; i--) solved[i] -= ratio[i] * solved[i + 1];
        var product = new double[n];
        for (var i = 0; i < n; i++) product[i] = (Diagonal(i) * solved[i]) + (i > 0 ? side * solved[i - 1] : 0) + (i < n - 1 ? side * solved[i + 1] : 0);
        return product;
    }

    /// <summary>
    /// Half the variance of differences, day by day about the day's own middle difference, so that a steady slope counts for nothing; of the days the middle one, so that
    /// those on which something happened count little. Null when no day was measured for half of it.
    /// </summary>
    private static double? HalfSquare(IReadOnlyList<double?> values, int apart, int fromDay, int toDay)
    {
        List<double> days = [];
        for (var day = fromDay * Course.PerDay; day < toDay * Course.PerDay && day + Course.PerDay + apart <= values.Count; day += Course.PerDay)
        {
            double sum = 0, squares = 0;
            var count = 0;
            for (var i = day; i < day + Course.PerDay; i++)
            {
                if (values[i + apart] - values[i] is not { } step) continue;
                (sum, squares, count) = (sum + step, squares + (step * step), count + 1);
            }

            if (2 * count > Course.PerDay) days.Add((squares - (sum * sum / count)) / (count - 1) / 2);
        }

        return days.Count == 0 ? null : Spread.Median(days) / MiddleOfMean;
    }

    /// <summary>By least squares relative to what they are; near ones are known best.</summary>
    private static (Restlessness Fitted, double Squares) Fitted(double[] differs, double keep)
    {
        double gg = 0, g1 = 0, one = 0, gy = 0, y1 = 0;
        for (var k = 1; k <= Farthest; k++)
        {
            var (grown, weight) = (1 - Math.Pow(keep, k), 1 / Math.Max(differs[k] * differs[k], 1e-12) / Math.Sqrt(k));
            (gg, g1, one) = (gg + (weight * grown * grown), g1 + (weight * grown), one + weight);
            (gy, y1) = (gy + (weight * grown * differs[k]), y1 + (weight * differs[k]));
        }

        var lasting = Math.Max(0, ((gy * one) - (g1 * y1)) / Math.Max((gg * one) - (g1 * g1), 1e-30));
        var alone = Math.Max(0, (y1 - (lasting * g1)) / one);
        if (alone == 0) lasting = Math.Max(0, gy / gg);
        double squares = 0;
        for (var k = 1; k <= Farthest; k++)
        {
            var off = alone + (lasting * (1 - Math.Pow(keep, k))) - differs[k];
            squares += off * off / Math.Max(differs[k] * differs[k], 1e-12) / Math.Sqrt(k);
        }

        return (new(alone, lasting, keep), squares);
    }
}
