using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Waiting;

namespace Evenwater.Core.Telling;

/// <summary>What the keeper is told: one word, what is happening, what was done, what to do, by when.</summary>
/// <param name="Word">The one word.</param>
/// <param name="Text">What is happening.</param>
/// <param name="Did">What the program did.</param>
/// <param name="Act">What the person should do.</param>
/// <param name="WithinSeconds">By when, s from now, and less than 0 once that is past: it stays the same moment however often it is said. Null when there is no hurry.</param>
public sealed record Say(StateWord Word, string Text, string Did, string Act, double? WithinSeconds = null);

/// <summary>Words that follow from the numbers, and from nothing else.</summary>
public static class Sentence
{
    private const string Nothing = "Nothing to do.";
    private const string OpenUntil = "The valve is open and closes by itself when even, and before the mark in any case.";

    /// <summary>So much later than the conductivity the temperature is told apart, s.</summary>
    private const double LaterSeconds = 600;

    /// <summary>From this probability on something is very likely.</summary>
    private const double VeryLikely = 0.8;

    /// <summary>The sentence for a state.</summary>
    /// <param name="state">The station.</param>
    /// <param name="wallNow">Local wall time, or null when the clock is not known.</param>
    /// <param name="zone">What clocks show here when they are changed; null: they stay as they are now.</param>
    public static Say Of(StationState state, DateTimeOffset? wallNow, TimeZoneInfo? zone = null)
    {
        var moments = new Moments(wallNow, zone);
        return Worst(state) is { } worst && (state.Phase != Phase.Tripped || worst.Priority > AlarmTable.Of((AlarmId)state.Trip).Priority)
            ? FromAlarm(worst, state, moments)
            : state.Phase switch
            {
                Phase.Idle or Phase.Finished or Phase.Abandoned when state.AlarmOf(AlarmId.BoardMissing) is { Changing: true, Active: false } => new Say(
                    StateWord.CannotTell, "The station's board does not answer yet.", "The valve is not opened: without pulses its driver keeps it shut.", "Wait a minute: you are called if it stays so."),
                Phase.Idle => new Say(StateWord.Steady, "No run is under way.", "The valve is closed.", Nothing),
                Phase.Armed => new Say(StateWord.Steady, "About to open.", "The valve is closed until the opening is written down and every probe has answered.", Nothing),
                Phase.Dripping => Dripping(state, moments),
                Phase.Holding => WithWait(Holding(state), state, wallNow, zone),
                Phase.Tripped => Tripped(state, moments),
                Phase.Finished or Phase.Abandoned when state.Run?.ProofTest == true => new Say(StateWord.Steady, "The proof test has ended; no run is under way.", "The valve is closed.", Nothing),
                Phase.Finished => new Say(StateWord.Steady, "The run is finished.", "The valve is closed.", "Look at the animals after 24 hours and after 7 days."),
                _ => new Say(StateWord.Steady, "The run was ended before the waters were even.", "The valve is closed.", "If animals were let in, look at them after 24 hours and after 7 days."),
            };
    }

    private static Say Dripping(StationState state, Moments moments)
    {
        if (!state.HasForecast)
        {
            return new Say(StateWord.Steady, "The drip has begun; the first forecast comes within a minute.", PacedWords.Of(state) ?? OpenUntil, Nothing);
        }

        ref readonly var forecast = ref state.Forecast;
        if (forecast.Health == Health.Blind)
        {
            return new Say(StateWord.CannotTell, "The probes say too little to forecast.", "The valve closes within seconds.", "Check the vessel's probe.", 0);
        }

        var ahead = moments.Of(state);
        var match = MatchText(state, forecast, moments) + WarmthText(forecast, state, ahead);
        var brim = BrimText(forecast, ahead) + Remarks.Of(state, moments);
        var doubt = forecast.ProbesSwapped ? " The two conductivity probes hang in each other's water; their readings are exchanged until you exchange the probes."
            : forecast is { Health: Health.Degraded, VesselReason: Reason.None, TankReason: Reason.NotFitted } ? " Without a probe in the tank the ranges are wider."
            : forecast.Health == Health.Degraded ? " One probe is not in use, so the ranges are wider." : "";
        if (!state.IsEven && double.IsPositiveInfinity(forecast.MatchSeconds.P50) && PacedWords.EndsShort(state) is { } most)
        {
            return new Say(
                StateWord.Look, $"It will not be even in this run: the tank lies beyond what may change in one, {most} as this station is paced. {brim}{doubt}",
                $"{PacedWords.Of(state)} It rests where that is reached, and closes after ten minutes there.", "Leave the animals so when it has closed, and go on another day.");
        }

        var byShare = forecast is { JudgedByReplacedFraction: true, ReplacedSeconds: not null };
        var late = !state.IsEven && forecast.BrimSeconds.P50 < forecast.EvenSeconds.P50;
        if (late)
        {
            return new Say(
                StateWord.Look, $"{match} {brim}{doubt}", PacedWords.Of(state) is { } led ? $"{led} It closes before the mark." : "The valve is open and closes before the mark.",
                "It will probably reach its mark before it is even: plan to draw some water off.", Finite(forecast.BrimSeconds.P05 - ahead.SecondsAgo));
        }

        var did = PacedWords.Of(state) is { } paced ? $"{paced} It closes by itself when even, and before the mark in any case." : OpenUntil;
        return !state.IsEven && StaysApart(forecast) && state.Readings[Channel.TankTemperature].IsGood
            ? new Say(
                StateWord.Look, $"{match} {brim}{doubt}", did,
                "It will not be even in temperature with this drip: bring the room nearer to the tank's temperature, or wrap the vessel.", Finite(forecast.BrimSeconds.P05 - ahead.SecondsAgo))
            : new Say(!state.IsEven && !byShare && state.MatchCannotTell ? StateWord.CannotTell : StateWord.Steady, $"{match} {brim}{doubt}", did, Nothing);
    }

    private static string MatchText(StationState state, in Forecast forecast, Moments moments)
    {
        if (state.IsEven)
        {
            var left = (state.Station.Match.DwellMinutes * 60) - state.LastStepAt.SecondsSince(state.EvenSince);
            return left > 0
                ? $"Even with the tank now; set to close {(moments.Now is null ? "" : "at ")}{moments.At(left)} if it stays so."
                : "Even with the tank.";
        }

        moments = moments.Of(state);
        if (forecast is { JudgedByReplacedFraction: true, ReplacedSeconds: { } replaced })
        {
            return ReplacedText(forecast, replaced, moments);
        }

        var match = forecast.MatchSeconds;
        if (match.P50 <= 0)
        {
            return state.TemperaturesAreEven
                ? "Probably even with the tank already; it drips on until that is sure."
                : "Even in conductivity; the temperature is not even yet.";
        }

        return state.MatchCannotTell ? $"When it will be even can't be told yet: {moments.At(match.P05)} at the earliest.{Remarks.WhyNot(state)}"
            : double.IsPositiveInfinity(match.P50) ? "At this rate it will not be even within 48 h."
            : $"Even with the tank {moments.Range(match)}.";
    }

    private static string ReplacedText(in Forecast forecast, in Quantiles seconds, Moments moments)
    {
        var share = $"{100 * forecast.ReplacedFraction.P50:0} % of the water is the tank's now";
        var wanted = $"{100 * forecast.ReplacedWanted:0} %";
        return "The two waters conduct nearly alike, so it goes by how much was replaced: about "
            + (seconds.P50 <= 0 ? $"{share}; it drips on until {wanted} are sure."
            : double.IsPositiveInfinity(seconds.P50) ? $"{share}, and {wanted} will not be reached within 48 h."
            : $"{share}, {wanted} {moments.Range(seconds)}.");
    }

    /// <summary>When the temperature is even too, where that comes later; and where it would stay, when it never is.</summary>
    private static string WarmthText(in Forecast forecast, StationState state, Moments moments)
    {
        if (forecast is not { SettlingCelsius: { } settles, TemperatureMatchSeconds: { } even, JointMatchSeconds: { } joint }
            || !state.Readings[Channel.TankTemperature].TryGet(out var tank))
        {
            return "";
        }

        if (StaysApart(forecast))
        {
            return $" With this drip the vessel would stay at about {settles.P50:0.0} °C, {Math.Abs(settles.P50 - tank):0.0} {(settles.P50 < tank ? "below" : "above")} the tank.";
        }

        return even.P50 > 0 && joint.P50 > forecast.EvenSeconds.P50 + LaterSeconds && !joint.CannotTell && !double.IsPositiveInfinity(joint.P50)
            ? $" In temperature as well {moments.About(joint.P50)}."
            : "";
    }

    /// <summary>Whether the temperature never comes to the tank's.</summary>
    private static bool StaysApart(in Forecast forecast) => forecast is { SettlingCelsius: not null, TemperatureMatchSeconds: { } even, JointMatchSeconds: { } joint }
        && (double.IsPositiveInfinity(even.P50) || (double.IsPositiveInfinity(joint.P50) && !double.IsPositiveInfinity(forecast.MatchSeconds.P50)));

    private static string BrimText(in Forecast forecast, Moments moments)
    {
        var brim = forecast.BrimSeconds;
        return double.IsPositiveInfinity(brim.P05) ? "The vessel does not come to its mark within 48 h."
            : double.IsPositiveInfinity(brim.P50) ? $"The vessel would reach its mark {moments.At(brim.P05)} at the earliest, probably not at all."
            : $"The vessel would reach its mark {moments.About(brim.P50)}, {moments.At(brim.P05)} at the earliest.";
    }

    /// <summary>By when they should be let in, which is also by when something is to be done.</summary>
    private static Say WithWait(Say say, StationState state, DateTimeOffset? wallNow, TimeZoneInfo? zone) => Waits.Of(state) is { } wait
        ? say with { Text = $"{say.Text} {Waits.Sentence(state, wait, wallNow, zone)}", WithinSeconds = Math.Min(say.WithinSeconds ?? double.PositiveInfinity, wait.Seconds) }
        : say;

    private static Say Holding(StationState state) => state is { WasEven: true, IsEven: true, ClosesNearMark: true } && Evenness.Likely(state) < Evenness.Sure
        ? new Say(
            StateWord.Look, $"{(Evenness.Likely(state) < VeryLikely ? "Probably" : "Very likely")} even with the tank ({100 * Evenness.Likely(state):0} %). It closed before that was surer, because its mark was near.",
            "The valve is closed.",
            "Measure both waters with one probe; if they are even, net the animals over, never pour the vessel's water into the tank, and finish the run.")
        : state.WasEven
        ? new Say(
            state.IsEven ? StateWord.Steady : StateWord.Look,
            state.IsEven ? "Even with the tank; the animals may be released." : EvenStill.No(state, state.AlarmOf(AlarmId.NoLongerEven).Active) switch
            {
                true => "It was even with the tank, and is no longer.",
                false => "It was even with the tank; that it still is is less sure by now.",
                null => "It was even with the tank; whether it still is can't be told just now.",
            },
            "The valve is closed.",
            "Net the animals over, never pour the vessel's water into the tank, then finish the run.")
        : state.IsEven
        ? new Say(StateWord.Look, "The drip stands still. The waters are even now; that they stay so is not sure yet.", "The valve is closed.", "Wait until it is, or measure both waters with one probe.", LeftOf(3600, state.PhaseSince, state))
        : new Say(StateWord.Look, "The drip stands still before the waters are even.", "The valve is closed.", "Go on with the run ('evenwater begin'), or let the animals in ('evenwater finish').", LeftOf(3600, state.PhaseSince, state));

    private static Say Tripped(StationState state, Moments moments)
    {
        var alarm = AlarmTable.Of((AlarmId)state.Trip);
        var even = state.IsEven ? " The waters are even." : "";
        return new Say(StateWord.Act, $"{alarm.Title}.{even}{LetIn(state, moments)}", alarm.Did, alarm.Act, LeftOf(alarm.ActWithinMinutes * 60, state.PhaseSince, state));
    }

    /// <summary>By when, whatever else is to be told; empty where there is nothing to wait for.</summary>
    private static string LetIn(StationState state, Moments moments) => Waits.Of(state) is { Seconds: <= TimeWords.LongestSeconds and var left }
        ? $" Let the animals in {(left <= 0 ? "now" : moments.By(left))}."
        : "";

    private static Alarm? Worst(StationState state)
    {
        Alarm? worst = null;
        foreach (var alarm in AlarmTable.All)
        {
            // What can wait for a day does not hide how a run stands, and a test hides nothing.
            if (!alarm.IsTest && state.AlarmOf(alarm.Id).Stands && (alarm.Priority > Priority.Low || state.Phase is Phase.Idle or Phase.Finished or Phase.Abandoned) && (worst is null || alarm.Priority > worst.Priority))
            {
                worst = alarm;
            }
        }

        return worst;
    }

    private static Say FromAlarm(Alarm alarm, StationState state, Moments moments)
    {
        var forecast = state.Phase == Phase.Dripping && state.HasForecast && state.Forecast.Health != Health.Blind
            ? $" {MatchText(state, state.Forecast, moments)} {BrimText(state.Forecast, moments.Of(state))}"
            : "";
        var even = state is { Phase: Phase.Holding, WasEven: true, IsEven: true } ? $" {Holding(state).Text}" : "";
        var sentence = AlarmSentence.Of(alarm, state.AlarmOf(alarm.Id));
        return new Say(
            alarm.Priority >= Priority.High ? StateWord.Act : StateWord.Look,
            $"{alarm.Title}.{forecast}{even}{LetIn(state, moments)}", sentence.Did, sentence.Act,
            AlarmSentence.By(alarm, state) is { } by ? by.SecondsSince(state.LastStepAt) : null);
    }

    /// <summary>What is left of the time to act, s; it counts from when its cause came, whatever has been said since.</summary>
    private static double LeftOf(double seconds, MonotonicTime since, StationState state) => seconds - state.LastStepAt.SecondsSince(since);

    private static double? Finite(double seconds) => double.IsFinite(seconds) ? seconds : null;
}
