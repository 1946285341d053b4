using Evenwater.Core.Estimation;
using Evenwater.Core.Scoring;
using Evenwater.Core.Telling;
using Evenwater.Hardware.Trace;
using Evenwater.Running;

namespace Evenwater.Scoring;

/// <summary>Forecasts traces, each by itself, and judges them by their truth. The same folder gives the same answer however many run at once.</summary>
internal static class Scorer
{
    /// <summary>When a trace has its first forecast.</summary>
    public const string FirstComes = "the first forecast comes after half a minute of rows that can be read, and rows more than 90 s apart are gaps, in which nothing is forecast";

    /// <summary>All traces of a folder, or why one could not be forecast, in the order given.</summary>
    /// <param name="places">The traces.</param>
    /// <param name="output">Folder for NAME.forecast.csv, or null.</param>
    /// <param name="jobs">How many at once, 1 or more.</param>
    /// <param name="done">Told after each.</param>
    public static (TracePlace Place, ScoredTrace? Scored, string? Failure)[] All(IReadOnlyList<TracePlace> places, string? output, int jobs, Action done)
    {
        var all = new (TracePlace, ScoredTrace?, string?)[places.Count];
        Parallel.For(0, places.Count, new ParallelOptions { MaxDegreeOfParallelism = jobs }, i =>
        {
            all[i] = Try(places[i], output);
            done();
        });
        return all;
    }

    /// <summary>One trace: open loop, always with the same seed.</summary>
    public static ScoredTrace One(TracePlace place, TextWriter? forecasts)
    {
        var (kind, truth) = place.ReadTruth();
        var prior = TracePrior.Read(place.Description);
        using var trace = TraceFile.Open(place.Data);
        var file = forecasts is null ? null : new ForecastFile(forecasts);
        return Judged(place.Name, kind, truth, told => TraceReplay.Run(trace, TraceStation.Of(prior), prior, evaluation =>
        {
            if (file is not null)
            {
                evaluation.WriteTo(file);
            }

            told(evaluation);
        })) with { UnknownColumns = trace.UnknownColumns };
    }

    /// <summary>The same for a night that is in no file.</summary>
    public static ScoredTrace One(string name, string kind, TraceTruth? truth, Prior prior, IEnumerable<TraceRow> rows) =>
        Judged(name, kind, truth, told => TraceReplay.Run(rows, TraceStation.Of(prior), prior, told));

    private static ScoredTrace Judged(string name, string kind, TraceTruth? truth, Func<Action<Evaluation>, TraceOutcome> replay)
    {
        var calls = new List<Call>(1500);
        var told = new List<Recognised>();
        var outcome = replay(evaluation =>
        {
            calls.Add(new Call(evaluation.Seconds, evaluation.Forecast.MatchSeconds, evaluation.Forecast.BrimSeconds));
            if (evaluation.Forecast.Events != ForecastEvents.None)
            {
                told.Add(new Recognised(evaluation.Seconds, evaluation.Forecast.Events));
            }
        });
        return new ScoredTrace(name, kind, truth, outcome, []).Judged(calls, told);
    }

    private static (TracePlace Place, ScoredTrace? Scored, string? Failure) Try(TracePlace place, string? output)
    {
        try
        {
            // Kept until it is whole: a trace that can not be read leaves no empty file, and none in the place of an earlier one.
            using var forecasts = output is null ? null : new StringWriter();
            var scored = One(place, forecasts);
            if (scored.Outcome.Evaluations > 0 && forecasts is not null)
            {
                File.WriteAllText(Path.Combine(output!, $"{place.Name}.forecast.csv"), forecasts.ToString());
            }

            return scored.Outcome.Evaluations > 0
                ? (place, scored, null)
                : (place, null, $"nothing was forecast: {HowMany.Of(scored.Outcome.Rows, "row")} read, {scored.Outcome.Rejected} rejected{First(scored)}; {FirstComes}");
        }
        catch (Exception e) when (e is IOException or InvalidDataException or UnauthorizedAccessException)
        {
            return (place, null, e.Message);
        }
        catch (Exception e)
        {
            // A mistake of ours in one trace must not lose the others; it is told with where it happened.
            return (place, null, e.ToString());
        }
    }

    private static string First(ScoredTrace scored) => scored.Outcome.Described.Count == 0 ? "" : $" (first: {scored.Outcome.Described[0]})";
}
