using Evenwater.Core.Scoring;
using Evenwater.Nights.Judging;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>One moment: what the program said, and what somebody would who knows the law.</summary>
internal readonly record struct BoundMoment(int Seed, string Event, Moment Said, Moment Best, double Disagreement, double Accepted);

/// <summary>The judged moments of one night.</summary>
internal sealed record BoundNight(string Kind, int Seed, IReadOnlyList<BoundMoment> Moments)
{
    public static BoundNight Of(PlantKind kind, int seed, Care care)
    {
        var night = kind.Make(seed, care);
        var scored = JudgedNights.One(night);
        var moments = new List<BoundMoment>();
        foreach (var (name, some) in new[] { ("brim", scored.Brim), ("match", scored.Match) })
        {
            foreach (var moment in some)
            {
                var best = BoundForecast.At(night, moment.Seconds);
                moments.Add(new(seed, name, moment, moment with { Said = name == "brim" ? best.BrimSeconds : best.MatchSeconds }, best.Disagreement, best.Accepted));
            }
        }

        return new(kind.Name, seed, moments);
    }

    public IEnumerable<string> Lines() => Moments.Select(m =>
        $"{Kind}-{Seed} {m.Event} {m.Said.Percent} % at {m.Said.Seconds:0}: truth {m.Said.Truth:0} said {m.Said.Said.P05:0}/{m.Said.Said.P50:0}/{m.Said.Said.P95:0} {m.Said.Pinball:0.000} best {m.Best.Said.P05:0}/{m.Best.Said.P50:0}/{m.Best.Said.P95:0} {m.Best.Pinball:0.000} R {m.Disagreement:0.00} acc {m.Accepted:0.00}");
}
