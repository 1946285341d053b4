using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<float>;

namespace Evenwater.Core.Estimation;

/// <summary>
/// What the paths of a forecast start from, column by column: neighbouring paths lie side by side, and eight of them go
/// forward together.
/// </summary>
internal sealed class PathStarts
{
    private readonly DrawTable _draws;
    private readonly float[] _state = new float[State.Future * DrawTable.Paths];
    private readonly float[] _clogs = new float[DrawTable.Paths];
    private readonly float[] _leakFraction = new float[DrawTable.Paths];
    private readonly float[] _overflowing = new float[DrawTable.Paths];
    private readonly double[] _lower = new double[State.Future * State.Future];

    public PathStarts(DrawTable draws) => _draws = draws;

    /// <summary>Draws the state of every path: as many from each hypothesis as its weight says.</summary>
    public void Draw(GaussianSum view)
    {
        var (path, below) = (0, 0.0);
        for (var chosen = 0; chosen < view.Count && path < DrawTable.Paths; chosen++)
        {
            below += view.Weight(chosen);
            var end = chosen == view.Count - 1 ? DrawTable.Paths : Math.Clamp((int)Math.Ceiling((below * DrawTable.Paths) - 0.5), path, DrawTable.Paths);
            if (end > path)
            {
                Draw(view[chosen], path, end);
                path = end;
            }
        }
    }

    /// <summary>Lets every path from <paramref name="first"/> to before <paramref name="end"/> start from a draw of <paramref name="h"/>.</summary>
    public void Draw(Hypothesis h, int first, int end)
    {
        Cholesky.Factor(h.Covariance, State.Future, _lower);
        for (var i = 0; i < State.Future; i++)
        {
            var x = Column(i)[first..end];
            x.Fill((float)h.Mean[i]);
            for (var j = 0; j <= i; j++)
            {
                var factor = (float)_lower[(i * State.Future) + j];
                var draws = _draws.Column(j)[first..end];
                for (var k = 0; k < x.Length; k++)
                {
                    x[k] += factor * draws[k];
                }
            }
        }

        Exchange(h, Column(State.LnKept)[first..end]);
        _clogs.AsSpan(first..end).Fill(h.Clogs ? 1 : 0);
        _leakFraction.AsSpan(first..end).Fill((float)h.LeakFraction);
        _overflowing.AsSpan(first..end).Fill(h.Overflowing ? 1 : 0);
    }

    /// <summary>A component of the state of every path.</summary>
    public Span<float> Column(int component) => _state.AsSpan(component * DrawTable.Paths, DrawTable.Paths);

    /// <summary>A component of the state of the paths from <paramref name="first"/> on.</summary>
    public Lanes At(int component, int first) => At(Column(component), first);

    /// <summary>What the vessel holds, L.</summary>
    public Lanes Litres(int first) => Exp(State.LnVolume, first, -7, 12);

    /// <summary>The flow, mL/min.</summary>
    public Lanes MillilitresPerMinute(int first) => Exp(State.LnFlow, first, -10, 10);

    /// <summary>Share of the vessel's water that is its first water, 0 to 1.</summary>
    public Lanes Kept(int first) => Exp(State.LnKept, first, -30, 0);

    /// <summary>How fast the vessel takes on the room's temperature, per hour.</summary>
    public Lanes ExchangePerHour(int first) => Exp(State.LnExchange, first, -8, 3);

    /// <summary>1 where the drip clogs steadily, else 0.</summary>
    public Lanes Clogs(int first) => At(_clogs, first);

    /// <summary>Fraction of the flow that passes the closed valve.</summary>
    public Lanes LeakFraction(int first) => At(_leakFraction, first);

    /// <summary>1 where the water has reached the standpipe, else 0.</summary>
    public Lanes Overflowing(int first) => At(_overflowing, first);

    /// <summary>What was exchanged follows its own law: the same draws, as many standard deviations from its median.</summary>
    private static void Exchange(Hypothesis h, Span<float> lnKept)
    {
        var median = Exchanged.Of(h).Median;
        for (var k = 0; k < lnKept.Length; k++)
        {
            lnKept[k] = (float)(-median * Math.Exp(-(lnKept[k] + median) / median));
        }
    }

    private static Lanes At(ReadOnlySpan<float> column, int first) => Vector256.Create(column[first..]);

    private Lanes Exp(int component, int first, float least, float most) =>
        Vector256.Exp(Vector256.ClampNative(At(component, first), Vector256.Create(least), Vector256.Create(most)));
}
