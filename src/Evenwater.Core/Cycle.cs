using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Pacing;
using Evenwater.Core.Safety;
using Evenwater.Core.Screening;

namespace Evenwater.Core;

/// <summary>
/// One turn of the pipeline: screen, estimate, decide. Depends on its arguments alone; what is to be done comes out as effects.
/// </summary>
public static class Cycle
{
    /// <summary>An opening that is not committed within this is given up, s.</summary>
    public const double ArmedSeconds = 60;

    /// <summary>A step longer than this is a gap: it is predicted over, and counts as closed, s.</summary>
    public const double GapSeconds = Process.GapSeconds;

    /// <summary>Inflow counted while no flow is known yet, mL/min: the most an open tube of this kind gives.</summary>
    private const double UnknownFlowMillilitresPerMinute = 80;

    /// <summary>Takes the latest samples and moves the state on.</summary>
    /// <param name="state">The station's memory, changed in place.</param>
    /// <param name="samples">The latest readings and what was asked.</param>
    /// <param name="now">The cycle's time, never before the last.</param>
    /// <param name="effects">What is to be done, in order; cleared first.</param>
    public static void Step(StationState state, in Samples samples, MonotonicTime now, ref EffectBuffer effects)
    {
        effects.Clear();
        var elapsed = state.HasStepped ? Math.Max(now.SecondsSince(state.LastStepAt), 0) : 0;
        state.LastStepAt = now;
        state.HasStepped = true;
        state.StoodSince = samples.ValveOpen ? now : state.StoodSince;
        state.StoodLonger = !samples.ValveOpen && (state.StoodLonger || samples.CutUnknown);
        if (state.StoodLonger && samples.CutLonger is { } longer)
        {
            (state.StoodSince, state.StoodLonger) = (state.StoodSince.Plus(-longer), false);
        }

        state.Readings = Matched(state, Screen.Apply(ref state.Screen, samples.Readings, now));
        Estimate(state, samples.ValveOpen, elapsed, now, ref effects);
        if (samples.Command == Verb.Drawn)
        {
            DrawingOff.Take(state, samples.Drawn, ref effects);
        }

        var reset = Decide(state, samples, now, ref effects);
        Hold(state, samples.ValveOpen, elapsed, now, ref effects);
        AlarmRound.Step(state, samples, reset, now, ref effects);
    }

    /// <summary>In a run whose probes were matched, the tank's reading as the vessel's own probe would give it.</summary>
    private static Readings Matched(StationState state, Readings readings)
    {
        var tank = readings[Channel.TankConductivity];
        if (state is { Run.GainRatio: var ratio, Phase: not (Phase.Idle or Phase.Finished or Phase.Abandoned) } && ratio != 1 && tank.TryGet(out var value))
        {
            readings[Channel.TankConductivity] = Reading.Of(value * ratio, tank.TakenAt) with { Code = tank.Code };
        }

        return readings;
    }

    private static void Estimate(StationState state, bool valveOpen, double elapsed, MonotonicTime now, ref EffectBuffer effects)
    {
        var estimator = state.Estimator;
        if (estimator is null || state.Phase is Phase.Idle or Phase.Armed or Phase.Finished or Phase.Abandoned)
        {
            return;
        }

        // Over a gap the valve was where it goes without power: one that stays open lets water in that no turn has told of.
        var ran = elapsed <= GapSeconds ? valveOpen : state is { HoldsOpen: true, OpenLoop: false, Run.Prior.ValveClosesOnPowerLoss: false };
        if (ran)
        {
            var flow = state.HasForecast
                ? state.Forecast.FlowMillilitresPerMinute.P50
                : state.Run!.Prior.FlowMillilitresPerMinute ?? UnknownFlowMillilitresPerMinute;
            state.OpenSeconds += elapsed;
            state.InflowLitres += flow / 1000 * elapsed / 60;
        }

        if (state.OpenLoop && elapsed > GapSeconds)
        {
            // A recording that pauses is no program that has stopped evaluating: the next evaluation is due from here.
            state.EvaluatedAt = now;
        }

        var readings = state.Readings;
        estimator.Step(readings, valveOpen, now);
        state.ConductivityRate.Step(readings[Channel.VesselConductivity], now);
        state.TemperatureRate.Step(readings[Channel.VesselTemperature], now);
        if (estimator.Evaluations == state.Evaluations)
        {
            return;
        }

        state.Evaluations = estimator.Evaluations;
        state.LatestForecast = PacedForecast.Of(state, estimator.Latest);
        state.HasForecast = true;
        state.EvaluatedAt = now;
        var noticed = state.Noticed;
        noticed.Note(state.Forecast);
        state.Noticed = noticed;
        Evenness.Judge(state, now);
        effects.Add(new Effect(EffectKind.Evaluated));
    }

    /// <returns>Whether a reset was granted.</returns>
    private static bool Decide(StationState state, in Samples samples, MonotonicTime now, ref EffectBuffer effects)
    {
        var readings = state.Readings;
        if (state.HighFloatOnlyMeasures)
        {
            readings[Channel.FloatHigh] = Reading.Missing(Reason.NotFitted, now);
        }

        var facts = new Facts
        {
            // A restart closes whatever happens, and nothing has been read yet: only what is wet already counts.
            Cause = samples.Command == Verb.Restarted ? TripCause.Wet(readings) : state.Causes(state, readings, samples.LogCommits, now),
            Clear = TripCause.IsClear(readings, samples.LogCommits),
            Latched = state.IsLatched,
            Fresh = TripCause.IsFresh(readings),
            LogCommits = samples.LogCommits,
            OpeningCommitted = samples.OpeningCommitted,
            Even = state.WasEven && !state.OpenLoop && Evenness.Closes(state, now),
            WasEven = state.WasEven,
            HasRun = samples.Start is not null || (state.Phase == Phase.Holding && state.Run is not null),
            Runless = state.Run is null,
            ProofTest = state.Run?.ProofTest == true,
            Spent = state.Phase is Phase.Armed or Phase.Dripping or Phase.Holding && TripCause.Spent(state) != Trip.None,
            MayResume = state.Station.Safety.ResumeAfterRestart,
            WaitedTooLong = state.Phase == Phase.Armed && now.SecondsSince(state.ArmedAt) > ArmedSeconds,
            Command = samples.Command,
        };

        var before = state.Phase;
        var after = state.Table(before, facts);
        var refusal = before == after || after == Phase.Tripped ? Refused(samples.Command, state, facts) : Refusal.None;
        if (refusal != Refusal.None)
        {
            effects.Add(new Effect(EffectKind.Refused) { Verb = samples.Command, Refusal = refusal });
        }

        var arms = after == Phase.Armed && (before != Phase.Armed || samples.Command == Verb.Restarted);
        if (arms)
        {
            Arm(state, before, samples.Start, now);
        }

        if (after != before)
        {
            state.Phase = after;
            state.PhaseSince = now;
            state.Trip = after == Phase.Tripped ? facts.Cause : Trip.None;
            if (before == Phase.Armed && after == Phase.Dripping)
            {
                state.EvaluatedAt = now;
            }

            if (after != Phase.Dripping)
            {
                effects.Add(new Effect(EffectKind.Shut) { Trip = state.Trip });
            }

            effects.Add(new Effect(EffectKind.PhaseChanged) { Phase = after, Trip = state.Trip });
        }

        if (arms)
        {
            effects.Add(new Effect(EffectKind.AskOpening));
        }

        return samples.Command == Verb.Reset && refusal == Refusal.None && after != Phase.Tripped;
    }

    /// <summary>While it drips the valve's permission is renewed, unless pacing makes it rest.</summary>
    private static void Hold(StationState state, bool valveWasOpen, double elapsed, MonotonicTime now, ref EffectBuffer effects)
    {
        if (state.IsPaced)
        {
            if (state.Phase == Phase.Dripping)
            {
                state.Pacer.Step(state, valveWasOpen, elapsed, now);
            }
            else
            {
                state.Pacer.Stop();
            }
        }

        if (state.HoldsOpen)
        {
            effects.Add(new Effect(EffectKind.Lease) { Until = now.Plus(state.Station.Safety.LeaseSeconds) });
        }
    }

    private static void Arm(StationState state, Phase before, RunStart? start, MonotonicTime now)
    {
        if (start is not null && before is not (Phase.Holding or Phase.Dripping or Phase.Armed))
        {
            state.Start(start, now);
        }

        state.ArmedAt = now;
    }

    private static Refusal Refused(Verb command, StationState state, in Facts facts) => command switch
    {
        Verb.Begin when state.Phase is Phase.Dripping or Phase.Armed or Phase.Tripped => Refusal.WrongPhase,
        Verb.Begin when !facts.HasRun => Refusal.NoRun,

        // Without a trip a reset is for what is latched among the alarms; it moves no run.
        Verb.Reset when state.Phase != Phase.Tripped => !state.IsLatched ? Refusal.WrongPhase : facts.Clear ? Refusal.None : facts.LogCommits ? Refusal.NotClear : Refusal.LogLost,
        Verb.Begin or Verb.Reset when !facts.LogCommits => Refusal.LogLost,
        Verb.Begin or Verb.Reset when !facts.Clear => Refusal.NotClear,
        Verb.Begin when facts.Latched => Refusal.Latched,
        Verb.Begin or Verb.Reset when !facts.Fresh => Refusal.NotFresh,
        Verb.Begin when facts.Spent => Refusal.Spent,
        Verb.Begin or Verb.Reset => Refusal.WrongPhase,
        Verb.Finish => Refusal.WrongPhase,
        _ => Refusal.None,
    };
}
