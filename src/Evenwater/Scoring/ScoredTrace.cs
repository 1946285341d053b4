using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Scoring;
using Evenwater.Running;

namespace Evenwater.Scoring;

/// <summary>What was recognised, and when.</summary>
internal readonly record struct Recognised(double Seconds, ForecastEvents Events);

/// <summary>One event of the truth and how long after it the first fitting word came.</summary>
/// <param name="Happened">What happened.</param>
/// <param name="HasWord">Whether there is a word for it at all.</param>
/// <param name="DelaySeconds">From the event to the word; null when none came.</param>
internal readonly record struct Recognition(TruthEvent Happened, bool HasWord, double? DelaySeconds);

/// <summary>One trace, forecast and, when its truth is known, judged.</summary>
internal sealed record ScoredTrace(string Name, string Kind, TraceTruth? Truth, TraceOutcome Outcome, IReadOnlyList<string> UnknownColumns)
{
    /// <summary>As long as a station wants it to last before it ends a run, unless told otherwise, s.</summary>
    private const double EvenForSeconds = 600;

    /// <summary>The judged forecasts of brim less freeboard.</summary>
    public IReadOnlyList<Moment> Brim { get; init; } = [];

    /// <summary>The judged forecasts of the match.</summary>
    public IReadOnlyList<Moment> Match { get; init; } = [];

    /// <summary>What went wrong in truth, and when it was told.</summary>
    public IReadOnlyList<Recognition> Recognitions { get; init; } = [];

    /// <summary>Words told although nothing of the kind had happened.</summary>
    public IReadOnlyList<ForecastEvents> Unfounded { get; init; } = [];

    /// <summary>When the program would have closed for safety, s.</summary>
    public double? ClosedAt => Outcome.Decision.ClosedAt;

    /// <summary>Whether the water comes to brim less freeboard within the recording.</summary>
    public bool SeesMark => Truth?.BrimSeconds <= Outcome.EndsAtSeconds;

    /// <summary>Whether it comes to the rim within it.</summary>
    public bool SeesRim => Truth?.SpillSeconds <= Outcome.EndsAtSeconds;

    /// <summary>Whether the water was past brim less freeboard before the valve would have closed.</summary>
    public bool PastMark => Truth?.BrimSeconds is { } brim && SeesMark && !(ClosedAt <= brim);

    /// <summary>Whether the water was over the rim before the valve would have closed.</summary>
    public bool OverRim => Truth?.SpillSeconds is { } spill && SeesRim && !(ClosedAt <= spill);

    /// <summary>Whether the valve would have closed before a match that could be reached.</summary>
    public bool ClosedBeforeMatch => Truth is { MatchReachable: true, MatchSeconds: { } match } && ClosedAt < match;

    /// <summary>When the forecast had told for ten minutes that the waters are even by now, with nineteen chances in twenty, s; null when it never did.</summary>
    public double? ToldEvenAt { get; init; }

    /// <summary>Whether they were not, and had not been before.</summary>
    public bool ToldEvenTooSoon => Truth is not null && ToldEvenAt is { } told && !(Truth.MatchSeconds <= told);

    /// <summary>How long before a trip by forecast the overflow warning stood; 0 when it did not; null when no forecast tripped.</summary>
    public double? WarningLeadSeconds => Outcome.Decision is { Trip: Trip.OverflowForecast, ClosedAt: { } closed, WarnedAt: var warned }
        ? closed - (warned ?? closed)
        : null;

    /// <summary>Judges a trace's forecasts by its truth.</summary>
    public ScoredTrace Judged(IReadOnlyList<Call> calls, IReadOnlyList<Recognised> told) => Truth is null ? this : this with
    {
        Brim = [.. Moment.Of(calls, Truth.BrimSeconds, c => c.Brim)],
        Match = [.. Moment.Of(calls, Truth.MatchSeconds, c => c.Match)],
        ToldEvenAt = HeldEvenAt(calls),
        Recognitions = [.. Truth.Events.Select(e => Recognise(e, told))],
        Unfounded = [.. told.SelectMany(t => EventWords.Each.Where(word => t.Events.HasFlag(word) && !IsFounded(word, t.Seconds)))],
    };

    private static double? HeldEvenAt(IReadOnlyList<Call> calls)
    {
        double? since = null;
        foreach (var call in calls)
        {
            since = call.Match.P95 > 0 ? null : since ?? call.Seconds;
            if (call.Seconds - since >= EvenForSeconds)
            {
                return call.Seconds;
            }
        }

        return null;
    }

    private static Recognition Recognise(TruthEvent happened, IReadOnlyList<Recognised> told)
    {
        var words = EventWords.For(happened);
        foreach (var one in told)
        {
            if (one.Seconds >= happened.Seconds && (one.Events & words) != 0)
            {
                return new Recognition(happened, HasWord: true, one.Seconds - happened.Seconds);
            }
        }

        return new Recognition(happened, words != ForecastEvents.None, null);
    }

    private bool IsFounded(ForecastEvents word, double seconds) =>
        Truth!.Events.Any(e => e.Seconds <= seconds && (EventWords.For(e) & word) != 0);
}
