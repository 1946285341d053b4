using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Trace;

namespace Evenwater.Running;

/// <summary>
/// Feeds a recorded trace through the very same cycle. The trace's own valve is what happened: the program's decision is
/// told and changes nothing in it. What the keeper drew off is told to the estimate when its time has come, not before.
/// </summary>
internal sealed class TraceReplay
{
    /// <summary>A trace's high float is level evidence. One above the mark trips as well, but only when wet for this long, over two rows at least, s.</summary>
    private const double FloatSeconds = 5;

    /// <summary>An evaluation every half minute, and a second for clocks that are not quite even.</summary>
    private const double LongestSilenceSeconds = 31;

    private readonly IEnumerable<TraceRow> _rows;
    private readonly Prior _prior;
    private readonly StationState _state;
    private readonly Action<Evaluation> _told;
    private EffectBuffer _effects;
    private Debounce _high;
    private int _drawn;
    private double _before;
    private double _toldAt;
    private Evaluation? _held;
    private TraceDecision _decision = TraceDecision.StaysOpen;

    private TraceReplay(IEnumerable<TraceRow> rows, Station station, Prior prior, Action<Evaluation> told)
    {
        _rows = rows;
        _prior = prior;
        _told = told;
        _state = new StationState(station)
        {
            OpenLoop = true,
            HighFloatOnlyMeasures = prior.FloatHighLitres < prior.BrimLitres - prior.FreeboardLitres,
        };
    }

    /// <summary>Replays a whole trace.</summary>
    /// <param name="trace">The trace.</param>
    /// <param name="station">The station; its safety limits hold.</param>
    /// <param name="prior">What was known at its start.</param>
    /// <param name="told">What is told of each evaluation.</param>
    public static TraceOutcome Run(TraceFile trace, Station station, Prior prior, Action<Evaluation> told) =>
        Run(trace.Rows(), station, prior, told) with { Rejected = trace.RejectedCount, Described = trace.Rejected };

    /// <summary>The same with rows that are in no file, in order of time.</summary>
    public static TraceOutcome Run(IEnumerable<TraceRow> rows, Station station, Prior prior, Action<Evaluation> told) =>
        new TraceReplay(rows, station, prior, told).Run();

    private TraceOutcome Run()
    {
        var (rows, evaluations, ends) = (0L, 0L, 0.0);
        foreach (var row in _rows)
        {
            if (rows++ == 0)
            {
                _state.StartOpenLoop(new RunStart(1, From(_prior, row.Seconds), Seed: 1), row.At);
            }

            TakeOut(row.Seconds);
            Step(row);
            evaluations += Tell(row) ? 1 : 0;
            ends = row.Seconds;
        }

        if (_held is { } last)
        {
            _told(last);
        }

        return new TraceOutcome(rows, evaluations, 0, [], _decision) { EndsAtSeconds = ends };
    }

    /// <summary>The plan's times are the trace's; the estimate counts from its first row.</summary>
    private static Prior From(Prior prior, double first) => first == 0 ? prior : prior with
    {
        ValveCommands = [.. prior.ValveCommands.Select(c => c with { AtSeconds = c.AtSeconds - first })],
        DrawOffs = [.. prior.DrawOffs.Select(d => d with { AtSeconds = d.AtSeconds - first })],
    };

    private void TakeOut(double seconds)
    {
        for (; _drawn < _prior.DrawOffs.Count && _prior.DrawOffs[_drawn].AtSeconds <= seconds; _drawn++)
        {
            _state.TakeOut(new Drawn(_prior.DrawOffs[_drawn].Litres, _prior.DrawOffs[_drawn].RelativeSd));
        }
    }

    private void Step(in TraceRow row)
    {
        var samples = new Samples { Readings = row.Readings, ValveOpen = row.ValveOpen, LogCommits = true };
        samples.Readings[Channel.FloatLow] = OrNotFitted(row.Readings[Channel.FloatLow]);
        samples.Readings[Channel.FloatHigh] = Debounced(ref _high, row.Readings[Channel.FloatHigh]);
        Cycle.Step(_state, samples, row.At, ref _effects);
        _decision = _decision.After(_state, _effects, row.Seconds);
    }

    /// <summary>
    /// Each evaluation is told; and the latest again, counted from then, at the decision and where rows come so seldom that the next
    /// evaluation would be long in coming; never over a gap, in which the water went other ways than forecast.
    /// </summary>
    private bool Tell(in TraceRow row)
    {
        var evaluated = _effects.Has(EffectKind.Evaluated);
        if (evaluated)
        {
            // What closes a block before a gap was evaluated before it, though the row that showed it comes after.
            var at = _state.Forecast.At == row.At ? row.Seconds : _state.Forecast.At.Seconds;
            Tell(new Evaluation(at, _state.Forecast, _decision.TripAt(at)));
        }

        var step = row.Seconds - _before;
        _before = row.Seconds;
        var due = row.Seconds + step - _toldAt > LongestSilenceSeconds && step <= LongestSilenceSeconds;
        var age = _state.HasForecast ? row.At.SecondsSince(_state.Forecast.At) : 0;
        if ((due || _decision.ClosedAt == row.Seconds) && age > 0 && age < 2 * LongestSilenceSeconds)
        {
            Tell(Evaluation.Later(_state.Forecast, row.Seconds, _decision.Trip));
        }

        return evaluated;
    }

    /// <summary>Of one moment the latest is told, once: after a gap a block's forecast may come when the one before it was told again for the same row.</summary>
    private void Tell(in Evaluation evaluation)
    {
        if (_held is { } held && held.Seconds < evaluation.Seconds)
        {
            _told(held);
        }

        _toldAt = evaluation.Seconds;
        _held = evaluation;
    }

    /// <summary>A row without a float says nothing of it; it is no fault of the wire.</summary>
    private static Reading OrNotFitted(in Reading reading) => reading.IsGood ? reading : Reading.Missing(Reason.NotFitted, reading.TakenAt);

    private static Reading Debounced(ref Debounce debounce, in Reading reading)
    {
        if (!reading.TryGet(out var wet))
        {
            return OrNotFitted(reading);
        }

        var settled = debounce.Update(RawSample.Of(wet != 0 ? 1 : 0, reading.TakenAt), FloatSeconds);
        return Reading.Of(settled.Reason == Reason.None ? settled.Code : 0, reading.TakenAt);
    }
}
