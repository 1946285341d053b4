namespace Evenwater.Core.Estimation;

/// <summary>
/// Carries a Gaussian through <see cref="Motion"/> by sigma points (Julier and Uhlmann, "Unscented filtering and nonlinear
/// estimation", Proc. IEEE 92, 2004): the centre and one point to each side along each column of the square root.
/// </summary>
internal sealed class Unscented
{
    private const int N = State.Size;
    private const int Points = (2 * N) + 1;

    /// <summary>Points lie this many variances out: 3 matches a Gaussian's fourth moment along each axis.</summary>
    private const double Reach = 3;
    private const double Side = 1 / (2 * Reach);
    private const double CentreMean = 1 - (N / Reach);

    /// <summary>The scaled form's correction with alpha² = Reach/N and beta = 2.</summary>
    private const double CentreCovariance = CentreMean + 1 - (Reach / N) + 2;

    private readonly double[] _lower = new double[N * N];
    private readonly double[] _points = new double[Points * N];

    /// <summary>Moves <paramref name="h"/> by one step and adds its process noise.</summary>
    public void Predict(Hypothesis h, in Motion motion)
    {
        Cholesky.Factor(h.Covariance, _lower);
        var reach = Math.Sqrt(Reach);
        for (var p = 0; p < Points; p++)
        {
            var x = _points.AsSpan(p * N, N);
            h.Mean.AsSpan().CopyTo(x);
            if (p > 0)
            {
                var column = (p - 1) >> 1;
                var side = (p & 1) == 1 ? reach : -reach;
                for (var i = column; i < N; i++)
                {
                    x[i] += side * _lower[(i * N) + column];
                }
            }

            motion.Move(x, h.Clogs, h.LeakFraction, h.Overflowing);
        }

        Gather(h);
        motion.Widen(h);
    }

    private void Gather(Hypothesis h)
    {
        var mean = h.Mean.AsSpan();
        _points.AsSpan(0, N).CopyTo(mean);
        for (var i = 0; i < N; i++)
        {
            // Sums of differences from the centre: the large negative centre weight would lose digits otherwise.
            var sum = 0.0;
            for (var p = 1; p < Points; p++)
            {
                sum += _points[(p * N) + i] - _points[i];
            }

            mean[i] += Side * sum;
        }

        Span<double> d = stackalloc double[N];
        h.Covariance.AsSpan().Clear();
        for (var p = 0; p < Points; p++)
        {
            var weight = p == 0 ? CentreCovariance : Side;
            for (var i = 0; i < N; i++)
            {
                d[i] = _points[(p * N) + i] - mean[i];
                var wd = weight * d[i];
                for (var j = 0; j <= i; j++)
                {
                    h.Covariance[(i * N) + j] += wd * d[j];
                }
            }
        }

        for (var i = 0; i < N; i++)
        {
            for (var j = 0; j < i; j++)
            {
                h.Covariance[(j * N) + i] = h.Covariance[(i * N) + j];
            }
        }
    }
}
