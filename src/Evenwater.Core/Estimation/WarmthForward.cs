namespace Evenwater.Core.Estimation;

/// <summary>
/// How the vessel's temperature goes on: the drip carries the tank's warmth in, the room takes some away. On a quarter of the paths,
/// with the drip as it is: what the keeper wants to know is whether it gets there at all, and where it would stay.
/// </summary>
internal sealed class WarmthForward
{
    private const int Every = 4;
    private const int Paths = DrawTable.Paths / Every;
    private readonly Prior _prior;
    private readonly DrawTable _draws;
    private readonly double[] _even = new double[Paths];
    private readonly double[] _joint = new double[Paths];
    private readonly double[] _settles = new double[Paths];

    public WarmthForward(Prior prior, DrawTable draws)
    {
        _prior = prior;
        _draws = draws;
    }

    /// <summary>Adds what the temperature does to <paramref name="forecast"/>.</summary>
    /// <param name="forecast">The forecast of the same paths.</param>
    /// <param name="grid">Its steps.</param>
    /// <param name="paths">Its paths.</param>
    /// <param name="tankCelsius">The tank's temperature.</param>
    public Forecast Look(in Forecast forecast, TimeGrid grid, in FuturePaths paths, double tankCelsius)
    {
        for (var i = 0; i < Paths; i++)
        {
            var path = i * Every;
            (_even[i], _settles[i]) = Follow(paths.Hypothesis[path], paths.Litres[path], paths.MillilitresPerMinute[path], _draws.Path(path), grid, tankCelsius);
            _joint[i] = Math.Max(_even[i], paths.MatchSeconds[path]);
        }

        return forecast with
        {
            TemperatureMatchSeconds = Sorted.Quantiles(_even),
            JointMatchSeconds = Sorted.Quantiles(_joint),
            SettlingCelsius = Sorted.Quantiles(_settles),
        };
    }

    private (double Even, double Settles) Follow(Hypothesis h, double litres, double flow, ReadOnlySpan<double> draws, TimeGrid grid, double tank)
    {
        var warmth = h.Mean[State.Warmth] + (h.Sd(State.Warmth) * draws[DrawTable.Warmth]);
        var room = h.Mean[State.Surroundings] + (h.Sd(State.Surroundings) * draws[DrawTable.Warmth + 2]);
        var lnExchange = h.Mean[State.LnExchange] + (h.Sd(State.LnExchange) * draws[DrawTable.Warmth + 1]);
        var lnMiddle = 0.5 * Math.Log(_prior.StartVolumeLitres * _prior.BrimLitres);
        var (volume, settles) = (litres, double.NaN);
        var even = Math.Abs(warmth - tank) <= _prior.TemperatureToleranceCelsius ? 0 : Quantiles.Beyond;
        for (var k = 0; k < grid.Count && (k == 0 || double.IsInfinity(even)); k++)
        {
            ref readonly var step = ref grid[k];
            var hours = step.Seconds / 3600;
            var exchange = Math.Exp(Math.Clamp(lnExchange - (Process.ExchangeFall * (Math.Log(volume) - lnMiddle)), -8, 3));
            var added = flow * step.OpenSeconds / 60_000;
            var inflow = added / volume / hours;
            var pull = Math.Max(inflow + exchange, 1e-12);
            var target = ((inflow * tank) + (exchange * room)) / pull;
            settles = k == 0 ? target : settles;
            var next = target + ((warmth - target) * Math.Exp(-pull * hours));
            if (Math.Abs(next - tank) <= _prior.TemperatureToleranceCelsius)
            {
                var (before, after) = (Math.Abs(warmth - tank), Math.Abs(next - tank));
                even = step.Start + (step.Seconds * Math.Clamp((before - _prior.TemperatureToleranceCelsius) / Math.Max(before - after, 1e-9), 0, 1));
            }

            warmth = next;
            volume = Math.Min(volume + added, Math.Max(litres, _prior.StandpipeLitres ?? _prior.BrimLitres));
        }

        return (even, settles);
    }
}

/// <summary>What a forecast has sampled, path by path.</summary>
internal readonly ref struct FuturePaths(
    ReadOnlySpan<Hypothesis> hypothesis, ReadOnlySpan<double> litres, ReadOnlySpan<double> millilitresPerMinute, ReadOnlySpan<double> matchSeconds)
{
    public readonly ReadOnlySpan<Hypothesis> Hypothesis = hypothesis;

    public readonly ReadOnlySpan<double> Litres = litres;

    public readonly ReadOnlySpan<double> MillilitresPerMinute = millilitresPerMinute;

    public readonly ReadOnlySpan<double> MatchSeconds = matchSeconds;
}
