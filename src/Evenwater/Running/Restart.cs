using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Log;
using Evenwater.Watch;

namespace Evenwater.Running;

/// <summary>Where a board station goes on from after the program was started again: its last run, replayed from the log.</summary>
/// <param name="State">The station's memory.</param>
/// <param name="Clock">Its clock, going on over the gap.</param>
/// <param name="RunId">The run that was replayed, or null.</param>
/// <param name="GapSeconds">How long the program was away, s; null when the clock can not tell.</param>
internal sealed record Restart(StationState State, StationClock Clock, long? RunId, double? GapSeconds)
{
    /// <summary>Name of the event that a run leaves which does not go on by itself, though the station file lets untripped runs do so.</summary>
    public const string NotResumed = "not-resumed";

    /// <summary>Name of the event that a run leaves when nobody can tell how long nothing was watched.</summary>
    public const string CutUnknown = "cut-unknown";

    /// <summary>Name of the event that it leaves when the clock was set since.</summary>
    public const string CutKnown = "cut-known";

    private const string By = "start";

    /// <summary>A run goes on by itself after so long at most, s: later somebody has been there, and the vessel may stand elsewhere. Our own choice: a night.</summary>
    private const double LongestAwaySeconds = 12 * 3600;

    /// <summary>Where the clock went on.</summary>
    private MonotonicTime Began { get; init; }

    /// <summary>What was taken for the gap, s.</summary>
    private double Taken { get; init; }

    /// <summary>What the picture of the run showed before the program was started again; empty without a run.</summary>
    public RunPast Past { get; private init; } = new(State);

    /// <summary>Whether the run dripped, or was about to, whatever is latched since: the first cycle must be told that the program was restarted.</summary>
    public bool WasOpen { get; } = IsOpen(State);

    /// <summary>
    /// Replays the station's last run through the cycle. A run that has ended is left alone. A trip that the log tells of and the replay
    /// does not come to, because the station was configured or the program written anew since, stays a trip, and a run that the log tells was
    /// closed and held is held. Alarms stand as the log tells of them.
    /// </summary>
    /// <param name="log">The log.</param>
    /// <param name="station">The station as it is configured now.</param>
    /// <param name="time">The clock.</param>
    /// <param name="beat">Counts the cycles that are gone through, for who waits for the start; null for nobody.</param>
    /// <param name="upSeconds">How long the computer has been up, where its clock is not synchronised; null where it is.</param>
    /// <param name="stopped">Whether it is called off: a run that was left unfinished takes its time.</param>
    /// <exception cref="LogUnusableException">What the log holds of it can not be read or does not replay: then nothing is guessed, and nothing starts.</exception>
    /// <exception cref="OperationCanceledException">It was called off.</exception>
    public static Restart Of(NightLog log, Station station, TimeProvider time, Beat? beat = null, double? upSeconds = null, Func<bool>? stopped = null) =>
        log.Needed($"what was last of {station.Name}", () => Replayed(log, station, time, beat ?? new Beat(), upSeconds, stopped));

    /// <summary>Asks first of the station what must come before anything else, and says so.</summary>
    /// <param name="loop">The station.</param>
    /// <param name="begunBy">Who began its run, or last went on with it.</param>
    public void Ask(StationLoop loop, string? begunBy)
    {
        if (GapSeconds is null)
        {
            loop.Cut.Unknown(Longer);
            loop.Note(CutUnknown, "How long the program was away can't be told: this computer's clock is behind the log's newest time, or goes on from a time that it kept over a power cut. "
                + "Until the clock is set, animals in still water are told to be let in now, since their time may be over.");
        }

        if (WasOpen)
        {
            _ = loop.Ask(new Asking(Verb.Restarted, By));
            var run = State.Run?.Prior;
            if (IsOpen(State) && State.Station.Safety.ResumeAfterRestart
                && (MayBegin.OtherVessel(State.Station, run) ?? WhyNotUnmeasured() ?? WhyNotSoLate() ?? MayBegin.WhyNotAlone(State.Station, run?.StartVolumeLitres, loop.Proof)) is { } why)
            {
                // Whoever said to stay beside it may be gone by now, and the vessel may be another. The close comes in the very next cycle, before anything can open.
                loop.Note(NotResumed, $"The run is held after the restart: it does not go on by itself. {why}");
                _ = loop.Ask(new Asking(Verb.Close, By));
            }
        }

        if (begunBy == ProofDesk.By && (IsOpen(State) || State.Phase == Phase.Holding))
        {
            // Somebody stood beside it with a cup: it never goes on by itself, whatever the station file says of runs. The close comes
            // in the very next cycle, before anything can open.
            loop.Proof.Restarted();
            _ = loop.Ask(new Asking(Verb.Close, By));
            _ = loop.Ask(new Asking(Verb.Finish, By));
        }
    }

    private static bool IsOpen(StationState state) => state.Phase is Phase.Armed or Phase.Dripping;

    /// <summary>How much longer the program was away than was taken for it, once the clock that has been set since can tell; null before, and where the last word was dated by a clock that may have been wrong.</summary>
    private double? Longer() => Cut.Longer((Past.LastWall, Past.LastQuality), (Clock.WallAt(Began), Clock.Quality), Taken);

    /// <summary>A valve that stays as it is without power may have been open for as long as the power was away.</summary>
    private string? WhyNotUnmeasured() => GapSeconds is null && State.Station.Valve.OnPowerLoss == PowerLoss.Stays
        ? "valve.onPowerLoss = stays, and how long the power was away can't be told: nobody knows what has run in. Measure what is in the vessel, finish this run and begin another with it."
        : null;

    private string? WhyNotSoLate() => GapSeconds > LongestAwaySeconds
        ? $"The program was away for {TimeWords.Age(GapSeconds.Value)}, and whoever came meanwhile may have taken the vessel away. See that it stands under its hose, then begin to go on, or finish the run."
        : null;

    /// <summary>The log was begun anew, and the old one may have told of a trip that nobody has reset: so it is one, and the new log knows of it from now on.</summary>
    /// <param name="state">The station's memory, as it starts.</param>
    /// <param name="recorder">Writes the new log.</param>
    /// <param name="now">The station's time.</param>
    public static void LatchUnknown(StationState state, Recorder recorder, MonotonicTime now)
    {
        state.Latch(Trip.LogLost);
        recorder.Effect(new Effect(EffectKind.PhaseChanged) { Phase = state.Phase, Trip = state.Trip }, state, now);
    }

    /// <summary>
    /// What the log knew of an alarm can not be read any more. It may have been one that waits for a reset, so unless a reset came after it the station begins tripped. The other alarms
    /// stand as the log has them: one bad entry of last year is no reason to watch nothing.
    /// </summary>
    /// <param name="log">The log.</param>
    /// <param name="state">The station's memory, as it starts.</param>
    /// <param name="recorder">Writes the log.</param>
    /// <param name="now">The station's time.</param>
    /// <returns>What is told of it; null when all can be read.</returns>
    public static string? LatchDamaged(NightLog log, StationState state, Recorder recorder, MonotonicTime now)
    {
        var station = state.Station.Name;
        List<Entry> damaged = [.. log.Reader.DamagedAlarms(station), .. log.Reader.Alarms(station).Where(entry => AlarmMemory.Read(entry) is null)];
        if (damaged.Count == 0)
        {
            return null;
        }

        var latest = damaged.Max(entry => entry.Id);
        var latches = state.Phase != Phase.Tripped && !(log.Reader.LastObeyed(station, Words.Of(Verb.Reset))?.Id > latest);
        if (latches)
        {
            LatchUnknown(state, recorder, now);
        }

        return $"The log is damaged: {(damaged.Count == 1 ? $"entry {latest}, about an alarm, can not be read" : $"{damaged.Count} entries about alarms can not be read, {latest} the latest")}. "
            + (latches ? "It may have told of water on the floor or through the closed valve, so the station begins tripped: look at valve, vessel and floor, then reset. " : "")
            + "All else goes on. Put the log on another card: stop the program, and keep the file.";
    }

    private static Restart Replayed(NightLog log, Station station, TimeProvider time, Beat beat, double? upSeconds, Func<bool>? stopped)
    {
        var state = new StationState(station);
        var word = log.Reader.Last(station.Name, EntryKind.Run);
        var phase = word?.Body is { } body ? LogJson.Read<RunBody>(body).Phase : null;
        if (word?.RunId is not { } run || (phase is not null && LeftRuns.HasEnded(phase)))
        {
            if (phase == Words.Of(Phase.Tripped))
            {
                state.Latch(Cause(log, station.Name)); // of no run: LatchUnknown; the last run ended before it and stays ended
            }

            AlarmMemory.TakeOver(state, log.Reader.Alarms(station.Name), default, time.GetUtcNow());
            return new Restart(state, StationClock.Real(default, time), null, 0);
        }

        var past = new RunPast(state);
        var last = LogReplay.Run(past.Seen(log.Reader.ReadRun(run)), state, Step, log.Reader.Configuration) ?? default;
        var (known, gap) = (Cut.Seconds(past.LastWall, time.GetUtcNow(), upSeconds), Cut.AtLeast(past.LastWall, time.GetUtcNow()));
        if (phase == Words.Of(Phase.Tripped) && state.Phase != Phase.Tripped)
        {
            state.Latch(Cause(log, station.Name));
        }
        else if (phase == Words.Of(Phase.Holding))
        {
            state.Rest(last);
        }

        AlarmMemory.TakeOver(state, log.Reader.Alarms(station.Name), last.Plus(gap), time.GetUtcNow());
        past.Events.AddStart(known, last.Plus(gap));
        return new Restart(state, StationClock.Real(last.Plus(gap), time), run, known) { Past = past, Began = last.Plus(gap), Taken = gap };

        void Step(Entry cycle, in EffectBuffer effects)
        {
            if (stopped?.Invoke() == true)
            {
                throw new OperationCanceledException();
            }

            past.Step(cycle, effects);
            beat.Turn();
        }
    }

    private static Trip Cause(NightLog log, string station)
    {
        var name = log.Reader.Last(station, EntryKind.Trip)?.Body is { } body ? LogJson.Read<TripBody>(body).Cause : "";
        return AlarmTable.All.FirstOrDefault(a => a.Name == name) is { Id: <= AlarmId.LivestockLimit } alarm ? (Trip)alarm.Id : Trip.Blind;
    }
}
