using Evenwater.Core.Scoring;
using Evenwater.Nights.Judging;
using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;
using Evenwater.Scoring;

namespace Evenwater.Nights;

/// <summary>Two nights of every kind of our own making, a few more of what is looked for by itself; none of them among the nights of the figures.</summary>
public sealed class JudgedNightsFixture
{
    private const int Nights = 2;
    private const int OfProbes = 8;

    public JudgedNightsFixture()
    {
        var all = PlantKinds.All.SelectMany(kind => Enumerable.Range(1, kind.Name is "probe-trouble" ? OfProbes : Nights).Select(seed => (Kind: kind, Seed: seed)));
        var judged = all.AsParallel().AsOrdered().Select(one =>
        {
            var night = one.Kind.Make(one.Seed);
            return (Scored: JudgedNights.One(night), ByHand: HandCalculation.Spreads.Select(s => Judge.All([night], HandCalculation.WithSpread(s))).ToArray());
        }).ToArray();
        Scored = [.. judged.Select(j => j.Scored)];

        // The keeper is given whichever constant spread suits these very nights best: a harder opponent than a real one.
        ByHand = Enumerable.Range(0, HandCalculation.Spreads.Length)
            .Select(spread => (IReadOnlyList<Judgement>)[.. judged.SelectMany(j => j.ByHand[spread])])
            .MinBy(Table.MeanLoss)!;
    }

    public IReadOnlyList<Judgement> ByHand { get; }

    internal IReadOnlyList<ScoredTrace> Scored { get; }

    internal IEnumerable<(string Night, string Event, Moment Moment)> Moments => Scored.SelectMany(t =>
        t.Brim.Select(m => (t.Name, "brim", m)).Concat(t.Match.Select(m => (t.Name, "match", m))));
}
