namespace Evenwater.Core.Review.Comparing;

/// <summary>
/// How far a few values lie above a few others, without assuming any distribution (Hodges and Lehmann's estimate with the interval that belongs to the rank sum;
/// Hollander and Wolfe, Nonparametric Statistical Methods, 4.1 to 4.3).
/// </summary>
/// <param name="Shift">The median of all differences, after less before.</param>
/// <param name="Low">The interval's lower end.</param>
/// <param name="High">Its upper end.</param>
/// <param name="Confidence">What the interval holds: at least what was asked for.</param>
/// <param name="Chance">How often ranks as uneven come by chance, both ways; exact, ties by their middle ranks.</param>
public readonly record struct RankShift(double Shift, double Low, double High, double Confidence, double Chance)
{
    /// <summary>Most values on both sides together: beyond, the exact count would take long, and the latest are as good.</summary>
    public const int Most = 24;

    /// <summary>Of two samples; null where so few have no such interval (3 and 3, 2 and 5 are the least), or where there are too many.</summary>
    /// <param name="before">Finite.</param>
    /// <param name="after">Finite.</param>
    /// <param name="confidence">What the interval is to hold at least, above 0, below 1.</param>
    public static RankShift? Of(IReadOnlyList<double> before, IReadOnlyList<double> after, double confidence = Estimate.Confidence)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        var (m, n) = (before.Count, after.Count);
        if (m == 0 || n == 0 || m + n > Most) return null;
        // In how many ways the ranks of n out of m + n sum to each number: the distribution without ties, doubled ranks to keep halves whole below.
        var plain = Sums([.. Enumerable.Range(1, m + n).Select(rank => 2 * rank)], n);
        var ways = plain.Sum();
        var (cut, tail) = (-1, 0.0);
        for (var u = 0; u < m * n / 2 + 1; u++)
        {
            var more = tail + (plain.ElementAtOrDefault((n * (n + 1)) + (2 * u)) / ways);
            if (2 * more > 1 - confidence + 1e-12) break;
            (cut, tail) = (u, more);
        }

        if (cut < 0) return null;
        double[] differences = [.. after.SelectMany(late => before.Select(early => late - early)).Order()];
        var middle = (differences[(differences.Length - 1) / 2] + differences[differences.Length / 2]) / 2;
        return new(middle, differences[cut], differences[^(cut + 1)], 1 - (2 * tail), TwoSided(before, after));
    }

    private static double TwoSided(IReadOnlyList<double> before, IReadOnlyList<double> after)
    {
        double[] all = [.. before.Concat(after)];
        int[] doubled = [.. all.Select(value => all.Count(other => other < value) * 2 + all.Count(other => other == value) + 1)];
        var sums = Sums(doubled, after.Count);
        var seen = doubled.Skip(before.Count).Sum();
        var middle = after.Count * (all.Length + 1);
        return sums.Select((ways, sum) => Math.Abs(sum - middle) >= Math.Abs(seen - middle) ? ways : 0).Sum() / sums.Sum();
    }

    /// <summary>In how many ways so many of the ranks come to each sum.</summary>
    private static double[] Sums(int[] ranks, int count)
    {
        var most = ranks.Sum();
        var ways = new double[count + 1, most + 1];
        ways[0, 0] = 1;
        foreach (var rank in ranks)
        {
            for (var taken = count; taken > 0; taken--)
            {
                for (var sum = most; sum >= rank; sum--) ways[taken, sum] += ways[taken - 1, sum - rank];
            }
        }

        return [.. Enumerable.Range(0, most + 1).Select(sum => ways[count, sum])];
    }
}
