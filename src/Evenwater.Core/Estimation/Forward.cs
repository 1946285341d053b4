namespace Evenwater.Core.Estimation;

/// <summary>Runs the estimate forward along sampled paths and reads the quantiles off them.</summary>
internal sealed class Forward
{
    private const int N = State.Future;

    /// <summary>The warmth is followed on every so many paths: whether it gets there at all, and where it would stay, needs no more.</summary>
    private const int WarmthEvery = 3;
    private const int WarmPaths = DrawTable.Paths / WarmthEvery;
    private readonly Prior _prior;
    private readonly ValvePlan _plan;
    private readonly DrawTable _draws;
    private readonly TimeGrid _grid = new();
    private readonly double[] _lower = new double[N * N];
    private readonly double[] _volume = new double[DrawTable.Paths];
    private readonly double[] _flow = new double[DrawTable.Paths];
    private readonly double[] _share = new double[DrawTable.Paths];
    private readonly double[] _replaced = new double[DrawTable.Paths];
    private readonly double[] _match = new double[DrawTable.Paths];
    private readonly double[] _brim = new double[DrawTable.Paths];
    private readonly double[] _even = new double[WarmPaths];
    private readonly double[] _joint = new double[WarmPaths];
    private readonly double[] _settles = new double[WarmPaths];

    public Forward(Prior prior, ValvePlan plan, DrawTable draws)
    {
        _prior = prior;
        _plan = plan;
        _draws = draws;
    }

    /// <summary>Quantiles of the future of <paramref name="view"/>.</summary>
    /// <param name="view">The estimate.</param>
    /// <param name="now">Seconds into the run.</param>
    /// <param name="replaced">The share of the vessel's water that is wanted to be the tank's; null where nobody goes by it.</param>
    /// <param name="tankCelsius">The tank's temperature; null when the warmth is not followed.</param>
    public Forecast Look(GaussianSum view, double now, double? replaced, double? tankCelsius)
    {
        _grid.Lay(_plan, now);
        Span<double> x = stackalloc double[N];
        var chosen = -1;
        var below = 0.0;
        for (var path = 0; path < DrawTable.Paths; path++)
        {
            var u = (path + 0.5) / DrawTable.Paths;
            while (chosen < 0 || (below <= u && chosen < view.Count - 1))
            {
                chosen++;
                below += view.Weight(chosen);
                if (below > u || chosen == view.Count - 1)
                {
                    Cholesky.Factor(view[chosen].Covariance, N, _lower);
                }
            }

            Draw(view[chosen], _draws.Path(path), x);
            Follow(path, view[chosen], x, 1 - replaced, tankCelsius);
        }

        var forecast = new Forecast
        {
            ReplacedFraction = Sorted.Quantiles(_share),
            ReplacedSeconds = replaced is null ? null : Sorted.Quantiles(_replaced),
            VolumeLitres = Sorted.Quantiles(_volume),
            FlowMillilitresPerMinute = Sorted.Quantiles(_flow),
            MatchSeconds = Sorted.Quantiles(_match),
            BrimSeconds = Sorted.Quantiles(_brim),
        };
        return tankCelsius is null ? forecast : forecast with
        {
            TemperatureMatchSeconds = Sorted.Quantiles(_even),
            JointMatchSeconds = Sorted.Quantiles(_joint),
            SettlingCelsius = Sorted.Quantiles(_settles),
        };
    }

    private void Follow(int path, Hypothesis h, ReadOnlySpan<double> x, double? kept, double? tankCelsius)
    {
        var start = PathStart.Of(x);
        (_volume[path], _flow[path], _share[path]) = (start.Litres, start.MillilitresPerMinute, 1 - start.Kept);
        var warms = tankCelsius is not null && path % WarmthEvery == 0;
        var future = new FuturePath(
            _prior, h, x, start, _draws.Path(path), kept, warms ? new WarmthPath(x, _prior, tankCelsius!.Value, start.Litres) : default);
        if (warms)
        {
            _settles[path / WarmthEvery] = future.Warmth.Settles(_flow[path]);
        }

        for (var k = 0; k < _grid.Count && future.GoesOn; k++)
        {
            future.Step(_grid[k]);
        }

        (_match[path], _brim[path], _replaced[path]) = (future.Match, future.Brim, future.Replaced);
        if (warms)
        {
            (_even[path / WarmthEvery], _joint[path / WarmthEvery]) = (future.Warmth.Even, future.Joint);
        }
    }

    private void Draw(Hypothesis h, ReadOnlySpan<double> draws, Span<double> x)
    {
        for (var i = 0; i < N; i++)
        {
            var sum = h.Mean[i];
            for (var j = 0; j <= i; j++)
            {
                sum += _lower[(i * N) + j] * draws[j];
            }

            x[i] = sum;
        }
    }
}
