namespace Evenwater.Core.Estimation;

/// <summary>Runs the estimate forward along sampled paths and reads the quantiles off them.</summary>
internal sealed class Forward
{
    private const int N = State.Future;
    private readonly Prior _prior;
    private readonly ValvePlan _plan;
    private readonly DrawTable _draws;
    private readonly TimeGrid _grid = new();
    private readonly double[] _lower = new double[N * N];
    private readonly double[] _volume = new double[DrawTable.Paths];
    private readonly double[] _flow = new double[DrawTable.Paths];
    private readonly double[] _replaced = new double[DrawTable.Paths];
    private readonly Hypothesis[] _hypothesis = new Hypothesis[DrawTable.Paths];
    private readonly WarmthForward _warmth;
    private readonly double[] _match = new double[DrawTable.Paths];
    private readonly double[] _brim = new double[DrawTable.Paths];

    public Forward(Prior prior, ValvePlan plan, DrawTable draws)
    {
        _prior = prior;
        _plan = plan;
        _draws = draws;
        _warmth = new WarmthForward(prior, draws);
    }

    /// <summary>Quantiles of the future of <paramref name="view"/>, <paramref name="now"/> seconds into the run.</summary>
    /// <param name="view">The estimate.</param>
    /// <param name="now">Seconds into the run.</param>
    /// <param name="first">The vessel's first conductivity, µS/cm; null before it was seen.</param>
    /// <param name="tankCelsius">The tank's temperature; null when the warmth is not followed.</param>
    public Forecast Look(GaussianSum view, double now, double? first, double? tankCelsius)
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

            var draws = _draws.Path(path);
            Draw(view[chosen], draws, x);
            _volume[path] = Math.Exp(Math.Clamp(x[State.LnVolume], -7, 12));
            _flow[path] = Math.Exp(Math.Clamp(x[State.LnFlow], -10, 10));
            (_match[path], _brim[path]) = Follow(view[chosen], x, draws);
            _hypothesis[path] = view[chosen];
            _replaced[path] = Replaced(x, first);
        }

        var apart = first is { } c0 ? Math.Abs(c0 - view.Mean(State.Tank)) : double.PositiveInfinity;
        var forecast = default(Forecast);
        if (tankCelsius is { } tank)
        {
            // Before the quantiles: those sort the paths.
            forecast = _warmth.Look(forecast, _grid, new FuturePaths(_hypothesis, _volume, _flow, _match), tank);
        }

        return forecast with
        {
            ReplacedFraction = Sorted.Quantiles(_replaced),
            JudgedByReplacedFraction = apart <= Math.Max(_prior.ToleranceMicrosiemensPerCm, 3 * _prior.GainRatioRelativeSd * view.Mean(State.Tank)),
            VolumeLitres = Sorted.Quantiles(_volume),
            FlowMillilitresPerMinute = Sorted.Quantiles(_flow),
            MatchSeconds = Sorted.Quantiles(_match),
            BrimSeconds = Sorted.Quantiles(_brim),
        };
    }

    /// <summary>
    /// Share of the vessel's water that came from the tank. Where the waters differ it is the share of their difference that is gone, whatever
    /// was drawn off or ran over; where they hardly do, only the volumes tell, as for a plain fill.
    /// </summary>
    private double Replaced(ReadOnlySpan<double> x, double? first)
    {
        var apart = first - x[State.Tank];
        return apart is { } d && Math.Abs(d) > _prior.ToleranceMicrosiemensPerCm
            ? Math.Clamp(1 - ((x[State.Mixed] - x[State.Tank]) / d), 0, 1)
            : Math.Clamp(1 - (_prior.StartVolumeLitres / Math.Exp(Math.Clamp(x[State.LnVolume], -7, 12))), 0, 1);
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

    private (double Match, double Brim) Follow(Hypothesis h, ReadOnlySpan<double> x, ReadOnlySpan<double> draws)
    {
        var volume = Math.Exp(Math.Clamp(x[State.LnVolume], -7, 12));
        var tank = x[State.Tank];
        var surplus = (x[State.Mixed] - tank) * volume;
        var rim = _prior.BrimLitres * (1 + (_prior.BrimRelativeSd * draws[DrawTable.Brim]));
        var mark = rim - _prior.FreeboardLitres;
        var ceiling = Ceiling(h, volume, rim, draws);
        var tolerance = _prior.ToleranceMicrosiemensPerCm;
        var driftMean = h.Clogs ? Process.ClogMean : Process.DriftMean;
        var drift = x[State.Drift] - driftMean;
        var jumpAt = draws[DrawTable.JumpSeconds];
        var head = Math.Clamp(x[State.Head], -0.3, 0.9) / _prior.BrimLitres;
        var flow = Math.Exp(Math.Clamp(x[State.LnFlow], -10, 10)) / 60_000 / Math.Max(1 - (head * volume), 0.1);
        var exponent = 0.0;
        var apart = Math.Abs(surplus / volume);
        var match = apart <= tolerance ? 0 : Quantiles.Beyond;
        var brim = volume >= mark ? 0 : Quantiles.Beyond;

        for (var k = 0; k < _grid.Count && (double.IsInfinity(match) || double.IsInfinity(brim)); k++)
        {
            ref readonly var step = ref _grid[k];
            if (step.Start >= jumpAt)
            {
                flow *= draws[DrawTable.JumpFactor];
                jumpAt = double.PositiveInfinity;
            }

            // The drift so far: its mean and its own deviation, which fades.
            var next = (driftMean * step.EndHours) + (drift * (h.Clogs ? step.FadedClog : step.Faded)) + (Process.FlowWalk * DrawTable.WalkAt(draws, step));
            var passed = step.OpenSeconds + ((step.Seconds - step.OpenSeconds) * h.LeakFraction);
            var added = passed <= 0 ? 0
                : flow * Math.Exp(Math.Clamp(0.5 * (exponent + next), -12, 6)) * Math.Max(1 - (head * volume), 0.1) * passed;
            exponent = next;
            var evaporated = step.Seconds * _prior.EvaporationMillilitresPerHour / 3.6e6;
            var full = volume + added;
            if (full >= mark && double.IsInfinity(brim) && ceiling >= mark)
            {
                brim = step.Start + (step.Seconds * Math.Clamp((mark - volume) / (full - volume), 0, 1));
            }

            surplus += evaporated * (tank + (surplus / volume));
            var over = full - ceiling;
            if (over > 0)
            {
                surplus *= Math.Exp(-over / ceiling);
                full = ceiling;
            }

            var apartThen = Math.Abs((surplus / full) - (Process.TankFuture * tank * draws[DrawTable.TankChange] * step.RootHours));
            if (apartThen <= tolerance && double.IsInfinity(match))
            {
                match = step.Start + (step.Seconds * Share(apart, apartThen, tolerance, over > 0));
            }

            apart = apartThen;
            volume = over > 0 ? full : Math.Max(full - evaporated, 0.5 * full);
        }

        return (match, brim);
    }

    /// <summary>Where within a step the difference passes the tolerance: 1/difference grows evenly while a vessel fills, its logarithm falls
    /// evenly while it overflows.</summary>
    private static double Share(double before, double after, double tolerance, bool overflows)
    {
        after = Math.Max(after, 1e-9);
        if (before <= after)
        {
            return 1;
        }

        return Math.Clamp(overflows ? Math.Log(before / tolerance) / Math.Log(before / after) : ((before / tolerance) - 1) / ((before / after) - 1), 0, 1);
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
