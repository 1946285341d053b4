using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Bound;

/// <summary>The forecast of somebody who knows the plant's law, all that was measured until a moment, and nothing else.</summary>
internal sealed record BoundForecast
{
    private const int Chains = 4;
    private const int Warm = 800;
    private const int Between = 16;

    /// <summary>Seconds from the moment, sorted; 0 when it was reached before, infinite beyond the horizon.</summary>
    public required double[] Match { get; init; }

    public required double[] Brim { get; init; }

    /// <summary>Water in the vessel, L; sorted.</summary>
    public required double[] Litres { get; init; }

    /// <summary>How much wider all chains together are than each by itself, of what the match hangs on (Gelman and Rubin 1992): 1 when they agree.</summary>
    public double Disagreement { get; init; }

    /// <summary>Share of steps accepted.</summary>
    public double Accepted { get; init; }

    public Quantiles MatchSeconds => Sorted.Quantiles(Match);

    public Quantiles BrimSeconds => Sorted.Quantiles(Brim);

    /// <summary>Not climbed: the top is no place for them.</summary>
    private static ReadOnlySpan<int> Sizes => [NightLaw.WanderSd, NightLaw.WanderSeconds, NightLaw.Walk, NightLaw.TankSd];

    /// <summary>The plant's chances of where the probe hangs, by zone.</summary>
    private static double[] Zones => [0.08, 0.84, 0.08];

    /// <summary>At a moment of a night.</summary>
    /// <param name="night">The night; its truth is not looked at.</param>
    /// <param name="seconds">The moment, s.</param>
    /// <param name="kept">How many of its places each of the four chains keeps.</param>
    public static BoundForecast At(Night night, double seconds, int kept = 100)
    {
        var past = new NightLikelihood(night.Family, night.Prior, NightData.Of(night.Rows, seconds));
        var chance = new Chance(unchecked((int)(seconds * 31)) ^ 12345);
        var peaks = Peaks(past);
        var futures = new Futures(past, chance);
        var since = seconds - (past.Data.StepCount * Steps.Seconds);
        var (match, brim, litres, even) = (new List<double>(), new List<double>(), new List<double>(), new List<double[]>());
        var (taken, accepted) = (0, 0);
        foreach (var peak in Chosen(peaks))
        {
            var walk = new PosteriorWalk(past.Unlikely, peak, Zones, past.Law.HasEvent ? NightLaw.EventNumbers : default, new Retelling(past.Law), chance);
            var mine = new List<double>();
            for (var i = -Warm; i < kept * Between; i++)
            {
                walk.Step();
                if (i < 0 || i % Between != 0)
                {
                    continue;
                }

                past.Unlikely(walk.Numbers, walk.Branch); // the latents of the chain's own place, not of the last that was tried
                var one = futures.One();
                match.Add(Math.Max(one.Match - since, 0));
                brim.Add(Math.Max(one.Brim - since, 0));
                litres.Add(past.Water.Litres);
                mine.Add(Math.Log(Math.Abs(past.Water.Mean - past.Latents.Tank)) + Math.Log(past.Water.Flow / past.Water.Litres));
            }

            even.Add([.. mine]);
            (taken, accepted) = (taken + walk.Steps.Taken, accepted + walk.Steps.Accepted);
        }

        return new BoundForecast
        {
            Match = [.. match.Order()], Brim = [.. brim.Order()], Litres = [.. litres.Order()], Disagreement = Shrinks(even), Accepted = (double)accepted / taken,
        };
    }

    private static List<Peak> Peaks(NightLikelihood past)
    {
        var n = past.Residuals;
        var peaks = new List<Peak>();
        double[] places = past.Law.HasEvent ? [-1.6, -1, -0.6, -0.3, 0, 0.3, 0.6, 1, 1.6] : [0];
        foreach (var place in places)
        {
            var start = new double[past.Law.Size];
            start[NightLaw.EventNumbers.Start] = place;
            peaks.Add(Peak.Climb(past.Unlikely, start, Vessel.Body, n, 8, Sizes));
        }

        var best = peaks.MaxBy(p => p.LogWeight)!;
        foreach (var zone in (ReadOnlySpan<int>)[Vessel.Surface, Vessel.Floor])
        {
            var start = (double[])best.Top.Clone();
            start[NightLaw.Lag] = zone == Vessel.Floor ? -1.5 : 1; // the floor lags by itself, the surface leads
            peaks.Add(Peak.Climb(past.Unlikely, start, zone, n, 6, Sizes));
        }

        return peaks;
    }

    /// <summary>One for each chain, in proportion to their weights.</summary>
    private static IEnumerable<Peak> Chosen(IReadOnlyList<Peak> peaks)
    {
        var most = peaks.Max(p => p.LogWeight);
        var weights = peaks.Select(p => Math.Exp(p.LogWeight - most) * Zones[p.Branch]).ToArray();
        var all = weights.Sum();
        for (var chain = 0; chain < Chains; chain++)
        {
            var left = (chain + 0.5) / Chains * all;
            var i = 0;
            while (i < peaks.Count - 1 && left >= weights[i])
            {
                left -= weights[i++];
            }

            yield return peaks[i];
        }
    }

    private static double Shrinks(IReadOnlyList<double[]> chains)
    {
        var means = chains.Select(c => c.Average()).ToArray();
        var within = chains.Average(c => c.Select(x => (x - c.Average()) * (x - c.Average())).Sum() / (c.Length - 1));
        var mean = means.Average();
        var between = means.Sum(m => (m - mean) * (m - mean)) / (means.Length - 1);
        return Math.Sqrt(1 + (between / within));
    }
}
