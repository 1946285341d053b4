using Evenwater.Core.Scoring;

namespace Evenwater.Nights.Scoring;

/// <summary>One forecast judged: which night, event and moment, and how it did.</summary>
public readonly record struct Judgement(string Night, string Family, string Event, int Percent, double Loss, bool Covered, double Error);

/// <summary>Judges forecasters on nights at 25, 50 and 75 % of the way to each event that came.</summary>
public static class Judge
{
    public static readonly int[] Percents = [.. Moment.Percents];

    public static IReadOnlyList<Judgement> All(IEnumerable<Night> nights, Forecaster forecaster) =>
        [.. nights.SelectMany(night => One(night, forecaster(night)))];

    public static IEnumerable<Judgement> One(Night night, IReadOnlyList<Call> calls) =>
    [
        .. Of(night, "brim", Moment.Of(calls, night.BrimSeconds, c => c.Brim)),
        .. Of(night, "match", Moment.Of(calls, night.MatchSeconds, c => c.Match)),
    ];

    private static IEnumerable<Judgement> Of(Night night, string name, IEnumerable<Moment> moments) =>
        moments.Select(m => new Judgement(night.Name, night.Family, name, m.Percent, m.Pinball, m.Covered, m.RelativeError));
}
