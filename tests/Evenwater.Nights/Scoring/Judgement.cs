using Evenwater.Core.Estimation;

namespace Evenwater.Nights.Scoring;

/// <summary>One forecast judged: which night, event and moment, and how it did.</summary>
public readonly record struct Judgement(string Night, string Family, string Event, int Percent, double Loss, bool Covered, double Error);

/// <summary>Judges forecasters on nights at 25, 50 and 75 % of the way to each event that came.</summary>
public static class Judge
{
    public static readonly int[] Percents = [25, 50, 75];

    public static IReadOnlyList<Judgement> All(IEnumerable<Night> nights, Forecaster forecaster) =>
        [.. nights.SelectMany(night => One(night, forecaster(night)))];

    public static IEnumerable<Judgement> One(Night night, IReadOnlyList<Call> calls)
    {
        foreach (var percent in Percents)
        {
            if (night.BrimSeconds is { } brim)
            {
                yield return At(night, calls, "brim", brim, percent, c => c.Brim);
            }

            if (night.MatchSeconds is { } match)
            {
                yield return At(night, calls, "match", match, percent, c => c.Match);
            }
        }
    }

    private static Judgement At(Night night, IReadOnlyList<Call> calls, string name, double when, int percent, Func<Call, Quantiles> pick)
    {
        var moment = when * percent / 100;
        var call = calls.LastOrDefault(c => c.Seconds <= moment);
        if (call == default)
        {
            throw new InvalidOperationException($"{night.Name}: no forecast at {moment} s");
        }

        // The forecast counts from its own moment, which in a gap may lie a little before the one judged.
        var truth = when - call.Seconds;
        var said = pick(call);
        return new Judgement(night.Name, night.Family, name, percent, Loss.Pinball(said, truth), Loss.Covers(said, truth), Loss.RelativeError(said, truth));
    }
}
