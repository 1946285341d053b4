namespace Evenwater.Core.Estimation;

/// <summary>Runs the estimate forward along sampled paths and reads the quantiles off them.</summary>
internal sealed class Forward
{
    private readonly Prior _prior;
    private readonly ValvePlan _plan;
    private readonly DrawTable _draws;
    private readonly TimeGrid _grid = new();
    private readonly double[] _lower = new double[State.Size * State.Size];
    private readonly double[] _volume = new double[DrawTable.Paths];
    private readonly double[] _flow = new double[DrawTable.Paths];
    private readonly double[] _match = new double[DrawTable.Paths];
    private readonly double[] _brim = new double[DrawTable.Paths];

    public Forward(Prior prior, ValvePlan plan, DrawTable draws)
    {
        _prior = prior;
        _plan = plan;
        _draws = draws;
    }

    /// <summary>Quantiles of the future of <paramref name="view"/>, <paramref name="now"/> seconds into the run.</summary>
    public Forecast Look(GaussianSum view, double now)
    {
        _grid.Lay(_plan, now);
        Span<double> x = stackalloc double[State.Size];
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
                    Cholesky.Factor(view[chosen].Covariance, _lower);
                }
            }

            var draws = _draws.Path(path);
            Draw(view[chosen], draws, x);
            _volume[path] = Math.Exp(x[State.LnVolume]);
            _flow[path] = Math.Exp(x[State.LnFlow]);
            (_match[path], _brim[path]) = Follow(view[chosen], x, draws);
        }

        return new Forecast
        {
            VolumeLitres = Sorted.Quantiles(_volume),
            FlowMillilitresPerMinute = Sorted.Quantiles(_flow),
            MatchSeconds = Sorted.Quantiles(_match),
            BrimSeconds = Sorted.Quantiles(_brim),
        };
    }

    private void Draw(Hypothesis h, ReadOnlySpan<double> draws, Span<double> x)
    {
        for (var i = 0; i < State.Size; i++)
        {
            var sum = h.Mean[i];
            for (var j = 0; j <= i; j++)
            {
                sum += _lower[(i * State.Size) + j] * draws[j];
            }

            x[i] = sum;
        }
    }

    private (double Match, double Brim) Follow(Hypothesis h, ReadOnlySpan<double> x, ReadOnlySpan<double> draws)
    {
        var volume = Math.Exp(x[State.LnVolume]);
        var lnFlow = x[State.LnFlow];
        var drift = x[State.Drift];
        var tank = x[State.Tank];
        var apart = x[State.Mixed] - tank;
        var rim = _prior.BrimLitres * (1 + (_prior.BrimRelativeSd * draws[DrawTable.Brim]));
        var mark = rim - _prior.FreeboardLitres;
        var ceiling = Ceiling(h, volume, rim, draws);
        var jumpAt = -Math.Log(Normal.Cumulative(draws[DrawTable.JumpTime])) * 3600 / Process.JumpsPerHour;
        var tolerance = _prior.ToleranceMicrosiemensPerCm;
        var driftHours = h.Clogs ? Process.ClogHours : Process.DriftHours;
        var walked = 0.0;
        var match = Math.Abs(apart) <= tolerance ? 0 : Quantiles.Beyond;
        var brim = volume >= mark ? 0 : Quantiles.Beyond;

        for (var k = 0; k < _grid.Count && (double.IsInfinity(match) || double.IsInfinity(brim)); k++)
        {
            var start = _grid.Start(k);
            var seconds = _grid.Seconds(k);
            var hours = seconds / 3600;
            if (start >= jumpAt)
            {
                lnFlow += Process.JumpSd * draws[DrawTable.JumpSize];
                jumpAt = double.PositiveInfinity;
            }

            var walk = DrawTable.WalkAt(draws, _grid.EndPlace(k));
            var step = (drift * hours) + (Process.FlowWalk * (walk - walked));
            walked = walk;
            var open = _grid.OpenFraction(k);
            var added = Math.Exp(Math.Clamp(lnFlow + (0.5 * step), -10, 10)) * (open + ((1 - open) * h.LeakFraction)) * seconds / 60_000;
            var (kept, after) = Dilution.Of(volume, added, ceiling);
            if (double.IsInfinity(brim) && after >= mark)
            {
                brim = start + (seconds * Math.Clamp((mark - volume) / (after - volume), 0, 1));
            }

            var evaporated = _prior.EvaporationMillilitresPerHour * hours / 1000;
            var next = (apart * kept) + (evaporated * (tank + apart) / after)
                + (Process.TankWalk * tank * draws[DrawTable.TankChange] * (Math.Sqrt((start + seconds) / 3600) - Math.Sqrt(start / 3600)));
            if (double.IsInfinity(match) && Math.Abs(next) <= tolerance)
            {
                // While a vessel fills, 1/difference grows in proportion to what is added: exact there, close when it overflows.
                var share = ((Math.Abs(apart) / tolerance) - 1) / Math.Max((Math.Abs(apart) / Math.Max(Math.Abs(next), 1e-9)) - 1, 1e-9);
                match = start + (seconds * Math.Clamp(share, 0, 1));
            }

            apart = next;
            volume = after < ceiling ? Math.Max(after - evaporated, 0.5 * after) : after;
            lnFlow += step;
            drift = Process.DriftMean + ((drift - Process.DriftMean) * Math.Exp(-hours / driftHours));
        }

        return (match, brim);
    }

    /// <summary>The volume this path cannot exceed: its standpipe, else its rim.</summary>
    private double Ceiling(Hypothesis h, double volume, double rim, ReadOnlySpan<double> draws)
    {
        if (h.Overflowing)
        {
            return volume;
        }

        return _prior is { Mode: VesselMode.Standpipe, StandpipeLitres: { } litres }
            ? Math.Max(volume, litres * (1 + (_prior.StandpipeRelativeSd * draws[DrawTable.Standpipe])))
            : Math.Max(volume, rim);
    }
}
