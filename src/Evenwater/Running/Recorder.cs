using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>Turns what a cycle was given and what it decided into entries of the log. Without a log (a rehearsal) it keeps nothing.</summary>
internal sealed class Recorder(NightLog? log, RunNumbers runs, StationClock clock, string station, long bootId, long configurationId)
{
    /// <summary>Name of the event that a draw-off leaves.</summary>
    public const string DrawnOff = "drawn-off";

    /// <summary>A sentence is repeated so long before the next is due: it must still be written and sent, s. Our own choice.</summary>
    private const double RepeatEarlySeconds = 60;

    private static readonly Task Never = new TaskCompletionSource().Task;

    private readonly Undated _undated = new();
    private (string Text, string Did, string Act) _lastSaid = ("", "", "");
    private MonotonicTime? _nextWord;

    /// <summary>The number of the station as it is configured and calibrated; changes with a calibration, between runs.</summary>
    public long ConfigurationId { get; set; } = configurationId;

    /// <summary>How often a person was called.</summary>
    public AlarmTally Tally { get; } = new();

    /// <summary>Whether a rehearsal has taken the disk away.</summary>
    public bool DiskIsGone { get; set; }

    /// <summary>Whether what is decided can be written down.</summary>
    public bool Commits => !DiskIsGone && (log?.Commits ?? true);

    /// <summary>How much is free on the log's disk.</summary>
    public DiskRoom Room => log?.Room ?? DiskRoom.Plenty;

    /// <summary>Commits all that was appended; done when it is on the disk, and never without one.</summary>
    public Task CommitAsync() => DiskIsGone ? Never : log?.CommitAsync() ?? Task.CompletedTask;

    /// <summary>The number for a new run.</summary>
    public long NextRunId() => runs.Next();

    /// <summary>Records one cycle's inputs.</summary>
    public void Cycle(in RawSamples raw, in Samples samples, StationState state, MonotonicTime now)
    {
        if (log is not null)
        {
            Append(EntryKind.Cycle, CycleBody.Of(samples), state, now, raw);
        }
    }

    /// <summary>Records one of the cycle's effects.</summary>
    public void Effect(in Effect effect, StationState state, MonotonicTime now)
    {
        if (effect is { Kind: EffectKind.AlarmChanged, Calls: true })
        {
            Tally.Add(effect.Alarm, now);
        }

        if (log is null)
        {
            return;
        }

        switch (effect.Kind)
        {
            case EffectKind.AskOpening:
                Append(EntryKind.Run, new RunBody("opening", "written down before the valve opens"), state, now);
                break;
            case EffectKind.PhaseChanged:
                var why = Words.Why(effect.Phase, effect.Trip);
                Append(EntryKind.Run, new RunBody(Words.Of(effect.Phase), why), state, now);
                if (effect.Phase == Phase.Tripped)
                {
                    Append(EntryKind.Trip, new TripBody(AlarmTable.Of((AlarmId)effect.Trip).Name), state, now);
                }

                break;
            case EffectKind.Evaluated:
                Append(EntryKind.Forecast, ForecastBody.Of(state.Forecast), state, now);
                break;
            case EffectKind.DrawnOff:
                Event(DrawnOff, Words.Of(effect.Drawn), state, now);
                break;
            case EffectKind.AlarmChanged:
                Append(EntryKind.Alarm, AlarmMemory.Body(effect.Alarm, state, effect.Calls, clock), state, now);
                break;
        }
    }

    /// <summary>
    /// The station starts afresh: a simulated run that the log left open is said to be gone, and its alarms with it. What a person has put aside
    /// stays aside.
    /// </summary>
    public void ClearLeftOver(StationState state, MonotonicTime now)
    {
        if (log?.Reader.Last(station, EntryKind.Run) is { Body: { } body, RunId: { } run }
            && LogJson.Read<RunBody>(body).Phase is var phase && !LeftRuns.HasEnded(phase))
        {
            Event("run-lost", $"Run {run} was {phase} when its station was stopped; it does not go on.", state, now);
            if (state.Phase != Phase.Tripped)
            {
                // A trip that the log knows stays one until it is reset.
                Append(EntryKind.Run, LogJson.Write(new RunBody(Words.Of(Phase.Abandoned), "it was lost when the station was stopped")), state, now, null, run);
            }
        }

        foreach (var entry in log?.Reader.Alarms(station) ?? [])
        {
            if (AlarmMemory.Read(entry) is { } left && AlarmTable.Named(left.Name) is { } row && state.AlarmOf(row.Id).Standing == AlarmStanding.Normal && left.State != AlarmStanding.Normal)
            {
                Append(
                    EntryKind.Alarm,
                    left with
                    {
                        State = AlarmStanding.Normal, Calls = false, Did = "The station has started afresh since.", Do = "Nothing.", ByWhen = null,
                        Since = null, ShelvedUntil = null, Why = null,
                    },
                    state, now);
            }
        }
    }

    /// <summary>Records that the valve was told something else than before.</summary>
    public void Valve(bool open, string why, StationState state, MonotonicTime now) =>
        Append(EntryKind.Valve, new ValveBody(open, why), state, now);

    /// <summary>Records what was asked and what came of it.</summary>
    public void Command(Asking asking, Answer answer, StationState state, MonotonicTime now) =>
        Append(EntryKind.Command, new CommandBody(Words.Of(asking.Verb), asking.By, answer.Obeyed, answer.Text), state, now);

    /// <summary>Records anything else.</summary>
    public void Event(string name, string text, StationState state, MonotonicTime now) =>
        Append(EntryKind.Event, new EventBody(name, text), state, now);

    /// <summary>Records which animals a run that begins is for.</summary>
    public void Animals(Animals animals, StationState state, MonotonicTime now)
    {
        var weight = animals.Grams is { } grams ? $", {grams:0.###} g together" : ", nobody told their mass";
        var text = $"This run is for {HowMany.Of(animals.Count, "animal")}{weight}{(animals.Arrival is { } note ? $", arrival {note} of the book" : "")}.";
        Append(EntryKind.Event, new EventBody("run-animals", text) { Arrival = animals.Arrival }, state, now);
    }

    /// <summary>Records a note of the keeper's book.</summary>
    /// <returns>The entry's number, or 0 when there is no room for it.</returns>
    public long Note(Note note, StationState state, MonotonicTime now) => Append(EntryKind.Note, new NoteBody(note), state, now);

    /// <summary>Records a proof test that was gone through.</summary>
    public void Proof(ProofRecord proof, StationState state, MonotonicTime now) => Append(
        EntryKind.Event,
        new EventBody(ProofDesk.EventName, $"The proof test {(proof.Failed is null ? "passed" : "FAILED")}, by {proof.By}: {proof}.") { Proof = proof },
        state, now);

    /// <summary>Whether a sentence has to be said though nothing has changed: the first, and when the last said that the next would come.</summary>
    public bool OwesAWord(MonotonicTime now) => _nextWord is not { } at || now >= at;

    /// <summary>Records the sentence when it has changed, or when it is due again.</summary>
    public void Say(Say say, StationState state, MonotonicTime now)
    {
        if ((say.Text, say.Did, say.Act) == _lastSaid && !OwesAWord(now))
        {
            return;
        }

        var nextWordSeconds = NextWordSeconds(state.Phase);
        (_lastSaid, _nextWord) = ((say.Text, say.Did, say.Act), now.Plus(nextWordSeconds - RepeatEarlySeconds));
        Append(
            EntryKind.Say,
            new SayBody(Words.Of(say.Word), say.Text, nextWordSeconds) { Did = say.Did, Do = say.Act, WithinSeconds = say.WithinSeconds is { } within ? Math.Round(within) : null },
            state, now);
    }

    /// <summary>When a new sentence is due at the latest, s: where no run is under way once a day, so that the log of a quiet year stays small.</summary>
    public static double NextWordSeconds(Phase phase) => phase is Phase.Idle or Phase.Finished or Phase.Abandoned ? 86_400 : 300;

    private long Append<T>(EntryKind kind, T body, StationState state, MonotonicTime now) =>
        Append(kind, LogJson.Write(body), state, now, null);

    private long Append(EntryKind kind, string body, StationState state, MonotonicTime now, RawSamples? raw, long? run = null)
    {
        if (log is null)
        {
            return 0;
        }

        var entry = new Entry
        {
            BootId = bootId,
            ConfigurationId = ConfigurationId,
            Station = station,
            RunId = run ?? state.Run?.RunId,
            At = now,
            Wall = clock.WallAt(now),
            ClockQuality = clock.Quality,
            Kind = kind,
            Body = body,
            Samples = raw,
        };
        // A note comes from another thread: what comes to wait for a date after the entry that dates all would wait until the next start, and a follower behind it.
        lock (_undated)
        {
            if (_undated.Before(entry) is { } dating)
            {
                log.Append(dating);
            }

            return log.Append(entry);
        }
    }
}

/// <summary>Numbers for new runs, one after another over all stations of a log; read from the disk once.</summary>
internal sealed class RunNumbers(long last)
{
    private long _last = last;

    public long Next() => Interlocked.Increment(ref _last);
}
