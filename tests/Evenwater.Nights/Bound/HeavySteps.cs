using Evenwater.Core.Estimation;

namespace Evenwater.Nights.Bound;

/// <summary>
/// What the flow's walk and its small jumps (a bubble, a nudge) change together in one piece of time: a normal step, and now and then one of them more. As
/// a smooth function of a standard normal number, by which a sampler can move.
/// </summary>
internal static class HeavySteps
{
    /// <summary>Jumps come every two days and are 0.05 in ln flow (<see cref="Plant.Parts.Drip"/>).</summary>
    public const double JumpSd = 0.05;

    public const double JumpEverySeconds = 48 * 3600;

    private const int Walks = 24;
    private const int Points = 241;
    private const double Least = 5;
    private const double LnLow = -7.2;
    private const double LnHigh = -3.5;
    private static readonly double[] Table = Lay();

    /// <summary>The step.</summary>
    /// <param name="u">Standard normal.</param>
    /// <param name="row">Of <see cref="RowOf"/>.</param>
    public static double Of(double u, double row)
    {
        var x = Math.Clamp((u + Least) / (2 * Least) * (Points - 1), 0, Points - 1.001);
        var y = row;
        var (i, j) = ((int)x, (int)y);
        var (a, b) = (x - i, y - j);
        var at = (j * Points) + i;
        return ((1 - b) * ((Table[at] * (1 - a)) + (Table[at + 1] * a))) + (b * ((Table[at + Points] * (1 - a)) + (Table[at + Points + 1] * a)));
    }

    /// <summary>Which number makes this step, and how fast the step grows there with the number; the number is NaN when none does.</summary>
    public static (double U, double Slope) Back(double step, double row)
    {
        var (low, high) = (0, Points - 1);
        if (step <= Cell(low, row) || step >= Cell(high, row))
        {
            return (double.NaN, 1);
        }

        while (high - low > 1)
        {
            var middle = (low + high) / 2;
            (low, high) = Cell(middle, row) > step ? (low, middle) : (middle, high);
        }

        var slope = Cell(high, row) - Cell(low, row);
        return ((((step - Cell(low, row)) / slope) + low) / (Points - 1) * 2 * Least - Least, slope);
    }

    /// <summary>How fast the step grows with the number, but for a factor that is always the same.</summary>
    public static double Slope(double u, double row)
    {
        var i = (int)Math.Clamp((u + Least) / (2 * Least) * (Points - 1), 0, Points - 1.001);
        return Cell(i + 1, row) - Cell(i, row);
    }

    private static double Cell(int i, double row)
    {
        var j = (int)row;
        return Table[(j * Points) + i] + ((row - j) * (Table[((j + 1) * Points) + i] - Table[(j * Points) + i]));
    }

    /// <summary>Place in the table of a walk whose sd over the piece of time is <paramref name="walkSd"/>.</summary>
    public static double RowOf(double walkSd) => Math.Clamp((Math.Log(walkSd) - LnLow) / (LnHigh - LnLow) * (Walks - 1), 0, Walks - 1.001);

    private static double[] Lay()
    {
        var table = new double[Walks * Points];
        for (var j = 0; j < Walks; j++)
        {
            var walk = Math.Exp(LnLow + ((LnHigh - LnLow) * j / (Walks - 1)));
            for (var i = 0; i < Points; i++)
            {
                table[(j * Points) + i] = Solve(((2 * Least * i) / (Points - 1)) - Least, walk);
            }
        }

        return table;
    }

    /// <summary>By halving: where the mixture has as much below it as the normal distribution has below u.</summary>
    private static double Solve(double u, double walk)
    {
        const double chance = Steps.FlowSeconds / JumpEverySeconds;
        var both = Math.Sqrt((walk * walk) + (JumpSd * JumpSd));
        var tail = Normal.Cumulative(-Math.Abs(u));
        var (low, high) = (0.0, 6 * both);
        for (var i = 0; i < 60; i++)
        {
            var middle = 0.5 * (low + high);
            var beyond = ((1 - chance) * Normal.Cumulative(-middle / walk)) + (chance * Normal.Cumulative(-middle / both));
            (low, high) = beyond > tail ? (middle, high) : (low, middle);
        }

        return Math.Sign(u) * low;
    }
}
