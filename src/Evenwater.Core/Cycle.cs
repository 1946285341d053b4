using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
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

    /// <summary>How sure the estimate must be that the waters are even, 0 to 1.</summary>
    public const double EvenProbability = 0.95;

    /// <summary>A step longer than this is a gap: it is predicted over, and counts as closed, s.</summary>
    public const double GapSeconds = Process.GapSeconds;

    /// <summary>A drip that very likely gives less than this share of what was measured has nearly stopped. Common practice, no source.</summary>
    private const double SlowShare = 0.3;

    /// <summary>And no longer when it may give this share again.</summary>
    private const double NoLongerSlowShare = 0.6;

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

        state.Readings = Matched(state, Screen.Apply(ref state.Screen, samples.Readings, now));
        Estimate(state, samples.ValveOpen, elapsed, now, ref effects);
        if (samples.Command == Verb.Drawn)
        {
            DrawingOff.Take(state, samples.Drawn, ref effects);
        }

        Decide(state, samples, now, ref effects);
        Alarm(state, samples.LogCommits, now, ref effects);
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

        if (valveOpen && elapsed <= GapSeconds)
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
        state.LatestForecast = estimator.Latest;
        state.HasForecast = true;
        state.EvaluatedAt = now;
        JudgeEven(state, now);
        effects.Add(new Effect(EffectKind.Evaluated));
    }

    private static void JudgeEven(StationState state, MonotonicTime now)
    {
        state.TemperaturesAreEven = TemperaturesEven(state);
        var likely = state.Forecast.JudgedByReplacedFraction && !state.OpenLoop ? state.Forecast.ReplacedProbability : state.Forecast.MatchedProbability;
        var even = likely >= EvenProbability
            && state.Forecast.Health != Health.Blind
            && state.TemperaturesAreEven;
        if (even && !state.IsEven)
        {
            state.EvenSince = now;
        }

        state.IsEven = even;
        state.WasEven |= even && now.SecondsSince(state.EvenSince) >= state.Station.Match.DwellMinutes * 60;
    }

    /// <summary>Without a tank thermometer the temperature can not be judged and does not hold the match back.</summary>
    private static bool TemperaturesEven(StationState state)
    {
        var readings = state.Readings;
        if (readings[Channel.TankTemperature].Reason == Reason.NotFitted)
        {
            return true;
        }

        return readings[Channel.VesselTemperature].TryGet(out var vessel)
            && readings[Channel.TankTemperature].TryGet(out var tank)
            && Math.Abs(vessel - tank) <= state.Station.Match.TemperatureToleranceCelsius;
    }

    private static void Decide(StationState state, in Samples samples, MonotonicTime now, ref EffectBuffer effects)
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
            Fresh = TripCause.IsFresh(readings),
            LogCommits = samples.LogCommits,
            OpeningCommitted = samples.OpeningCommitted,
            Even = state.WasEven && state.IsEven && !state.OpenLoop,
            WasEven = state.WasEven,
            HasRun = samples.Start is not null || (state.Phase == Phase.Holding && state.Run is not null),
            Spent = state.Phase is Phase.Armed or Phase.Dripping or Phase.Holding && TripCause.Spent(state) != Trip.None,
            MayResume = state.Station.Safety.ResumeAfterRestart,
            WaitedTooLong = state.Phase == Phase.Armed && now.SecondsSince(state.ArmedAt) > ArmedSeconds,
            Command = samples.Command,
        };

        var before = state.Phase;
        var after = state.Table(before, facts);
        if (samples.Command == Verb.Acknowledge)
        {
            state.Alarms.Acknowledge();
        }
        else if (before == after && Refused(samples.Command, before, facts) is var refusal and not Refusal.None)
        {
            effects.Add(new Effect(EffectKind.Refused) { Verb = samples.Command, Refusal = refusal });
        }

        if (after == Phase.Armed && (before != Phase.Armed || samples.Command == Verb.Restarted))
        {
            Arm(state, before, samples.Start, now, ref effects);
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

        if (after == Phase.Dripping)
        {
            effects.Add(new Effect(EffectKind.Lease) { Until = now.Plus(state.Station.Safety.LeaseSeconds) });
        }
    }

    private static void Arm(StationState state, Phase before, RunStart? start, MonotonicTime now, ref EffectBuffer effects)
    {
        if (start is not null && before is not (Phase.Holding or Phase.Dripping or Phase.Armed))
        {
            state.Start(start, now);
        }

        state.ArmedAt = now;
        effects.Add(new Effect(EffectKind.AskOpening));
    }

    private static Refusal Refused(Verb command, Phase phase, in Facts facts) => command switch
    {
        Verb.Begin when phase is Phase.Dripping or Phase.Armed or Phase.Tripped => Refusal.WrongPhase,
        Verb.Begin when !facts.HasRun => Refusal.NoRun,
        Verb.Begin or Verb.Reset when phase != Phase.Tripped && command == Verb.Reset => Refusal.WrongPhase,
        Verb.Begin or Verb.Reset when !facts.LogCommits => Refusal.LogLost,
        Verb.Begin or Verb.Reset when !facts.Clear => Refusal.NotClear,
        Verb.Begin or Verb.Reset when !facts.Fresh => Refusal.NotFresh,
        Verb.Begin when facts.Spent => Refusal.Spent,
        Verb.Begin or Verb.Reset => Refusal.WrongPhase,
        Verb.Finish => Refusal.WrongPhase,
        _ => Refusal.None,
    };

    private static void Alarm(StationState state, bool logCommits, MonotonicTime now, ref EffectBuffer effects)
    {
        for (var id = AlarmId.HighFloat; id <= AlarmId.LivestockLimit; id++)
        {
            var tripped = state.Phase == Phase.Tripped && (byte)state.Trip == (byte)id;
            state.Alarms.Step(id, tripped || (id == AlarmId.LogLost && !logCommits), now, ref effects);
        }

        var dripping = state.Phase == Phase.Dripping;
        var inRun = dripping || state.Phase is Phase.Holding;
        var readings = state.Readings;
        ref readonly var forecast = ref state.Forecast;
        state.Alarms.Step(
            AlarmId.OverflowWarning,
            dripping && state.HasForecast && (!state.IsEven || state.OpenLoop) && forecast.QuietBrimProbability > WarnProbability(state),
            now, ref effects);
        state.Alarms.Step(
            AlarmId.ProbeTrouble,
            inRun && ((state.HasForecast && forecast.ProbesSwapped) || AnyProbeTroubled(readings)),
            now, ref effects);
        state.Alarms.Step(AlarmId.DripStopped, state.Phase == Phase.Holding && !state.WasEven, now, ref effects);
        state.Alarms.Step(
            AlarmId.DripSlow,
            dripping && state.HasForecast && !state.IsEven && forecast.Health != Health.Blind
                && forecast.FlowMillilitresPerMinute.P95 < (state.AlarmOf(AlarmId.DripSlow).Raised ? NoLongerSlowShare : SlowShare) * (state.Run!.Prior.FlowMillilitresPerMinute ?? 0),
            now, ref effects);
        state.Alarms.Step(
            AlarmId.FlowWhileClosed,
            state.AlarmOf(AlarmId.FlowWhileClosed).Raised
                ? inRun || state.Phase == Phase.Tripped
                : state.HasForecast && state.EvaluatedAt == now && (forecast.Events & ForecastEvents.Leak) != 0,
            now, ref effects);
    }

    /// <summary>Twice the risk that closes, a quarter of an hour ahead; half of that before the warning is taken back.</summary>
    private static double WarnProbability(StationState state) =>
        state.Station.Safety.TripProbability * (state.AlarmOf(AlarmId.OverflowWarning).Raised ? 1 : 2);

    /// <summary>The switches have alarms and trips of their own.</summary>
    private static bool AnyProbeTroubled(in Readings readings)
    {
        for (var i = 0; i < Channels.Count; i++)
        {
            if (!Channels.IsSwitch((Channel)i) && readings[i].Reason is not (Reason.None or Reason.NotFitted))
            {
                return true;
            }
        }

        return false;
    }
}
