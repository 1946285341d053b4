using System.Numerics;

namespace Evenwater.Nights.Bound;

/// <summary>-ln likelihood, less a constant, of independent standard normal numbers in one branch; fills the surprises, standard normal for the truth, when there is room.</summary>
internal delegate double Unlikely(ReadOnlySpan<double> u, int branch, Span<double> surprises);

/// <summary>
/// The top of a posterior and its curvature there, by Gauss and Newton with Levenberg's damping: what the sampler is steered by. It need not be right for the
/// sample to be right, only near.
/// </summary>
internal sealed class Peak
{
    private const double Nudge = 0.05;
    private readonly double[] _lower; // of I + J'J, by rows
    private readonly int _size;

    private Peak(double[] top, int branch, double[] lower, double height)
    {
        (Top, Branch, _lower, _size) = (top, branch, lower, top.Length);
        LogWeight = -height;
        for (var i = 0; i < _size; i++)
        {
            LogWeight -= Math.Log(lower[(i * _size) + i]);
        }
    }

    /// <summary>The top.</summary>
    public double[] Top { get; }

    public int Branch { get; }

    /// <summary>ln of the probability around it, less the same constant for all peaks of one posterior (Laplace).</summary>
    public double LogWeight { get; }

    /// <summary>Climbs from <paramref name="start"/>; numbers that are <paramref name="still"/> stay as they are.</summary>
    public static Peak Climb(Unlikely unlikely, double[] start, int branch, int residuals, int steps, ReadOnlySpan<int> still = default)
    {
        var size = start.Length;
        var u = (double[])start.Clone();
        var (r, nudged, slopes) = (new double[residuals], new double[residuals], new double[size * residuals]);
        var (matrix, lower, gradient, next) = (new double[size * size], new double[size * size], new double[size], new double[size]);
        var damping = 0.0;
        var rest = new double[size];
        var height = unlikely(u, branch, r) + HalfSquare(u);
        for (var step = 0; ; step++)
        {
            for (var i = 0; i < size; i++)
            {
                if (still.Contains(i))
                {
                    continue;
                }

                var kept = u[i];
                u[i] += Nudge;
                var sizes = unlikely(u, branch, nudged) - HalfSquare(nudged); // what is no square: the sizes of the noises
                u[i] = kept;
                rest[i] = u[i] + ((sizes - height + HalfSquare(u) + HalfSquare(r)) / Nudge);
                for (var k = 0; k < residuals; k++)
                {
                    slopes[(i * residuals) + k] = (nudged[k] - r[k]) / Nudge;
                }
            }

            Normals(slopes, r, rest, size, residuals, matrix, gradient);
            if (step == steps)
            {
                Factor(matrix, lower, size, 0);
                return new Peak(u, branch, lower, height);
            }

            var before = height;
            for (damping *= 0.1; damping < 1e3; damping = Math.Max(10 * damping, 1e-3))
            {
                Factor(matrix, lower, size, damping);
                gradient.CopyTo(next, 0);
                Solve(lower, next, size);
                for (var i = 0; i < size; i++)
                {
                    next[i] = u[i] - next[i];
                }

                var there = unlikely(next, branch, nudged) + HalfSquare(next);
                if (there < height)
                {
                    (height, u, next) = (there, next, u);
                    (r, nudged) = (nudged, r);
                    break;
                }
            }

            steps = before - height > 0.05 ? steps : step + 1; // one more time for the curvature here, and done
        }
    }

    /// <summary>Top plus what makes independent standard normal numbers <paramref name="v"/> as correlated as the posterior is about there.</summary>
    public void Around(ReadOnlySpan<double> v, Span<double> u)
    {
        v.CopyTo(u);
        for (var i = _size - 1; i >= 0; i--)
        {
            var row = _lower.AsSpan(i * _size, i + 1);
            var x = u[i] /= row[i];
            for (var j = 0; j < i; j++)
            {
                u[j] -= row[j] * x;
            }
        }

        for (var i = 0; i < _size; i++)
        {
            u[i] += Top[i];
        }
    }

    /// <summary>The other way round.</summary>
    public void Back(ReadOnlySpan<double> u, Span<double> v)
    {
        v.Clear();
        for (var i = 0; i < _size; i++)
        {
            var x = u[i] - Top[i];
            var row = _lower.AsSpan(i * _size, i + 1);
            for (var j = 0; j <= i; j++)
            {
                v[j] += row[j] * x;
            }
        }
    }

    public static double HalfSquare(ReadOnlySpan<double> u)
    {
        var sum = 0.0;
        foreach (var x in u)
        {
            sum += x * x;
        }

        return 0.5 * sum;
    }

    /// <summary>I + J'J, and the gradient: J'r and what is left.</summary>
    private static void Normals(double[] slopes, double[] r, double[] rest, int size, int residuals, double[] matrix, double[] gradient)
    {
        for (var i = 0; i < size; i++)
        {
            var a = slopes.AsSpan(i * residuals, residuals);
            for (var j = 0; j <= i; j++)
            {
                matrix[(i * size) + j] = Dot(a, slopes.AsSpan(j * residuals, residuals)) + (i == j ? 1 : 0);
            }

            gradient[i] = Dot(a, r) + rest[i];
        }
    }

    private static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        var (sum, i, width) = (Vector<double>.Zero, 0, Vector<double>.Count);
        for (; i <= a.Length - width; i += width)
        {
            sum += new Vector<double>(a[i..]) * new Vector<double>(b[i..]);
        }

        var rest = Vector.Sum(sum);
        for (; i < a.Length; i++)
        {
            rest += a[i] * b[i];
        }

        return rest;
    }

    /// <summary>The root of a symmetric matrix whose diagonal is raised by a share (Cholesky), below the diagonal.</summary>
    private static void Factor(double[] matrix, double[] m, int size, double raised)
    {
        for (var i = 0; i < size; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = (matrix[(i * size) + j] * (i == j ? 1 + raised : 1)) - Dot(m.AsSpan(i * size, j), m.AsSpan(j * size, j));
                m[(i * size) + j] = i == j ? Math.Sqrt(Math.Max(sum, 1e-9)) : sum / m[(j * size) + j];
            }
        }
    }

    private static void Solve(double[] lower, double[] x, int size)
    {
        for (var i = 0; i < size; i++)
        {
            x[i] = (x[i] - Dot(lower.AsSpan(i * size, i), x.AsSpan(0, i))) / lower[(i * size) + i];
        }

        for (var i = size - 1; i >= 0; i--)
        {
            var value = x[i] /= lower[(i * size) + i];
            for (var j = 0; j < i; j++)
            {
                x[j] -= lower[(i * size) + j] * value;
            }
        }
    }
}
