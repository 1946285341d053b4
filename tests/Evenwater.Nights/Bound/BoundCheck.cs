using Evenwater.Core.Scoring;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>
/// Whether the truth lies where the bound says, at moments that nothing decides but the clock. Where in the forecast's own order the truth came is even
/// between 0 and 1 if the sampler is right (Talts et al. 2018); what came after the recording's end counts as even above that.
/// </summary>
internal sealed record BoundCheck(string Kind, IReadOnlyList<double> Match, IReadOnlyList<double> Brim, IReadOnlyList<double> Litres, double Disagreement)
{
    private static ReadOnlySpan<int> Hours => [1, 2, 4, 6];

    public static string Of(PlantKind kind, IEnumerable<int> seeds, Care care)
    {
        var all = seeds.AsParallel().AsOrdered().Select(seed => One(kind, seed, care)).ToArray();
        return new BoundCheck(
            kind.Name, [.. all.Select(a => a.Match)], [.. all.Select(a => a.Brim).OfType<double>()], [.. all.Select(a => a.Litres)], all.Average(a => a.Disagreement)).ToString();
    }

    public override string ToString() => $"{Kind,-16} match {Told(Match)}; brim {Told(Brim)}; litres {Told(Litres)}; chains disagree {Disagreement:0.00}";

    private readonly record struct Places(double Match, double? Brim, double Litres, double Disagreement);

    private static string Told(IReadOnlyList<double> places)
    {
        var held = places.Count(p => p is >= 0.05 and <= 0.95);
        var (low, high) = Wilson.Interval(held, places.Count);
        var fifths = Enumerable.Range(0, 5).Select(i => places.Count(p => p >= i / 5.0 && (p < (i + 1) / 5.0 || i == 4)));
        return $"{held} of {places.Count} ({low:0.00}-{high:0.00}) in the 90 % range, by fifths {string.Join('/', fifths)}";
    }

    private static Places One(PlantKind kind, int seed, Care care)
    {
        var (plan, chance) = kind.Plan(seed, care);
        var night = new NightMaker(plan with { SpillSeconds = double.PositiveInfinity }, chance).Make($"{kind.Name}-{seed}", kind.Name);
        var dice = new Chance(seed);
        var now = Hours[seed % Hours.Length] * 3600.0;
        var forecast = BoundForecast.At(night, now);
        var left = plan.Seconds - now;
        return new Places(
            Place(forecast.Match, night.MatchSeconds - now, left, dice),
            kind.Standpipe ? null : Place(forecast.Brim, night.BrimSeconds - now, left, dice),
            Place(forecast.Litres, night.Truth!.Rows.MinBy(r => Math.Abs(r.Seconds - now))!.Litres, double.PositiveInfinity, dice),
            forecast.Disagreement);
    }

    private static double Place(double[] sorted, double? truth, double end, Chance dice)
    {
        var there = Math.Max(truth ?? double.PositiveInfinity, 0);
        if (truth is null || there > end)
        {
            var below = sorted.Count(x => x < end) / (double)sorted.Length;
            return dice.Between(below, 1);
        }

        var (less, same) = (sorted.Count(x => x < there), sorted.Count(x => x == there));
        return dice.Between(less, less + same + 1) / (sorted.Length + 1);
    }
}
