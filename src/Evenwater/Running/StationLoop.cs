using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Keeping;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>
/// One turn after another of one station: switches debounced, cycle stepped, valve told, log written, in this order.
/// Never waits for a bus, a disk or a network. One thread calls it; <see cref="Ask"/> may be called by any.
/// </summary>
internal sealed class StationLoop
{
    /// <summary>Time between cycles that nothing hurries, s.</summary>
    public const double CycleSeconds = 1;

    /// <summary>Name of the event that a person's first run leaves: the cautions were read.</summary>
    public const string CautionsRead = "cautions-read";

    private const double MissedSeconds = 3600;
    private const string CautionsPutAway = "cautions-dismissed";

    private readonly Askings _askings = new();
    private readonly LateDevices _devices;
    private readonly RawIntake _intake;
    private readonly BeginGate _gate;
    private readonly Recorder _recorder;
    private readonly StationClock _clock;
    private readonly TurnTold _told;
    private readonly CalibrationTurn _calibration;
    private EffectBuffer _effects;
    private Task? _opening;
    private MonotonicTime _nextTurn;
    private bool _sendingRefused;
    private string? _toldMissing;
    private long _missedUntil;
    private bool _outcomeDue;

    public StationLoop(StationState state, LateDevices devices, Recorder recorder, StationClock clock)
    {
        (State, _devices, _recorder, _clock) = (state, devices, recorder, clock);
        _intake = new RawIntake(devices);
        Proof = new ProofDesk(this, devices, recorder, clock);
        _gate = new BeginGate(state, devices, Proof, Finishing, InCup, recorder);
        WeeklyTest = new WeeklyTestCall(state, recorder, clock);
        Routine = new RoutineWatch(state.Station, clock);
        _told = new TurnTold(state, recorder, clock);
        _calibration = new CalibrationTurn(state, recorder, clock);
        Cut = new CutTurn(state, recorder);
        Shown = new Shown(state.Phase, state.Readings, Say, _told.Alarms, OpeningBudget.Of(state));
    }

    public StationState State { get; }

    /// <summary>The latest sentence.</summary>
    public Say Say => _told.Say;

    /// <summary>When it was made: what is to be done in time counts from there.</summary>
    public MonotonicTime SaidAt => _told.SaidAt;

    /// <summary>What other threads may see of the last turn.</summary>
    public Shown Shown { get; private set; }

    /// <summary>What the last turn decided.</summary>
    public ref readonly EffectBuffer Effects => ref _effects;

    /// <summary>What happened lately.</summary>
    public RunEvents Events
    {
        get => _told.Events;
        init => _told.Events = value;
    }

    /// <summary>The proof test: its last result, and the one that is being done.</summary>
    public ProofDesk Proof { get; }

    /// <summary>Who is led through the end of the run just now.</summary>
    public Finishing Finishing { get; } = new(TimeProvider.System);

    /// <summary>Who is led through a calibration or a matching of its probes just now.</summary>
    public InCup InCup { get; } = new(TimeProvider.System);

    /// <summary>The weekly test call; none before the log was recalled.</summary>
    public WeeklyTestCall WeeklyTest { get; }

    /// <summary>The keeper's routine; nothing is overdue before the log was recalled.</summary>
    public RoutineWatch Routine { get; }

    /// <summary>Whether a database refuses what the log sends it; the next turn takes it into its alarms. From any thread.</summary>
    public bool SendingRefused
    {
        get => Volatile.Read(ref _sendingRefused);
        set => Volatile.Write(ref _sendingRefused, value);
    }

    /// <summary>Why its devices can not be opened, and what to do; null when they are. From any thread.</summary>
    public string? DevicesMissing => _devices.Missing;

    /// <summary>Something recorded will never reach the database or the broker: an alarm stands for an hour, as of a refusal. From any thread.</summary>
    public void Missed() => Interlocked.Exchange(ref _missedUntil, _clock.Now.Plus(MissedSeconds).Nanoseconds);

    /// <summary>What the start does not know of the cut before it.</summary>
    public CutTurn Cut { get; }

    /// <summary>Whether animals are to be looked at and nobody has noted it; the next turn takes it into its alarms. From any thread.</summary>
    public bool OutcomeDue
    {
        get => Volatile.Read(ref _outcomeDue);
        set => Volatile.Write(ref _outcomeDue, value);
    }

    /// <summary>What ends the run step by step, as of the last turn.</summary>
    public IReadOnlyList<string> ReleaseSteps => _told.ReleaseSteps;

    /// <summary>Whether a person has put the cautions away on the page.</summary>
    public bool CautionsDismissed { get; private set; }

    /// <summary>When the last turn was.</summary>
    public MonotonicTime LastTurn { get; private set; }

    /// <summary>Whether somebody was answered by it.</summary>
    public bool Answered { get; private set; }

    /// <summary>Seed of the next run.</summary>
    public ulong Seed { get; set; } = 1;

    /// <summary>When each calibration is due, where one was made; from any thread.</summary>
    public IReadOnlyList<CalibrationDue> CalibrationsDue
    {
        get => _calibration.Due;
        set => _calibration.Due = value;
    }

    /// <summary>Goes on with other calibrated values from the next turn on, or after the run that is on. From any thread.</summary>
    /// <param name="station">The station with them.</param>
    /// <param name="configurationId">Its number in the log.</param>
    public void Recalibrate(Station station, long configurationId) => _calibration.Next(station, configurationId);

    /// <summary>The simulated keeper's hands, with a cup; null where only a person can.</summary>
    public SimulatedHands? Hands { get; init; }

    /// <summary>Holds a switch wet, or lets go; null where only a person can.</summary>
    public Action<Channel, bool>? Hand { get; init; }

    /// <summary>Keeps the current from the valve's coil, or lets it; null where only a person can.</summary>
    public Action<bool>? HandAtCoil { get; init; }

    /// <summary>Asks something of the station; the next turn answers.</summary>
    public Task<Answer> Ask(Asking asking)
    {
        if (asking.Verb != Verb.Begin)
        {
            return _askings.Add(asking);
        }

        var phase = Shown.Phase;
        if ((InCup.WhyNot(State.Station.Name) ?? MayBegin.WhyNot(State.Station, phase, asking.Known, Proof, Finishing, State.Run)) is { } refusal)
        {
            Note("refused", refusal);
            asking.Reply(new Answer(false, refusal));
            return asking.Answered;
        }

        asking.GoesOn |= phase == Phase.Holding;
        return _askings.Add(asking);
    }

    /// <summary>Takes over from the log what goes on over restarts and runs: the last proof test, the last test call, and which cautions were read.</summary>
    public void Recall(LogReader log)
    {
        Proof.Recall(log);
        WeeklyTest.Recall(log);
        Routine.Take(Books.Of(log, State.Station.Name));
        CautionsDismissed = log.HasEvent(State.Station.Name, CautionsPutAway);
        _told.CautionsRead = log.HasEvent(State.Station.Name, CautionsRead);
    }

    /// <summary>A person has put the cautions away. From any thread.</summary>
    public void DismissCautions()
    {
        if (!CautionsDismissed)
        {
            CautionsDismissed = true;
            Note(CautionsPutAway, "The cautions were read on the page.");
        }
    }

    /// <summary>Records something that happened outside the cycle, such as a refused message. From any thread.</summary>
    public void Note(string name, string text) => _recorder.Event(name, text, State, _clock.Now);

    /// <summary>What the station's clock says by the wall; null while it has never been set. From any thread.</summary>
    public DateTimeOffset? WallNow => _clock.WallAt(_clock.Now);

    /// <summary>Records a note of the keeper's book. From any thread; it is on the disk after the next commit.</summary>
    /// <returns>Its number in the log, or 0 when the disk has failed for so long that there is no room for it.</returns>
    public long Keep(Note note)
    {
        var now = _clock.Now;
        var entry = _recorder.Note(note, State, now);
        if (entry > 0)
        {
            Events.Add(note, now);
        }

        return entry;
    }

    /// <summary>Takes over freshly read probes.</summary>
    public void Take(in RawSamples probes) => _intake.Take(probes);

    /// <summary>Polls and debounces the switches, and takes a turn when one is due or a switch has changed.</summary>
    public bool Poll(MonotonicTime now)
    {
        if (!_intake.Poll(State.Station.Safety.FloatDebounceMilliseconds / 1000, now) && !_askings.Hurry(mayBeOpen: State.Phase is Phase.Armed or Phase.Dripping) && now < _nextTurn)
        {
            return false;
        }

        (LastTurn, _nextTurn) = (now, now.Plus(CycleSeconds));
        Turn(now);
        return true;
    }

    private void Turn(MonotonicTime now)
    {
        TellMissing(now);
        _calibration.Take(now);
        var asking = _gate.Permitted(_askings.Take(), now);
        _intake.TakeDrops(now);
        var readings = Calibrate.Apply(_intake.Raw, State.Station.Sensors);
        var (unknown, longer) = Cut.Take(now);
        var samples = new Samples
        {
            Readings = readings,
            ValveOpen = _told.ValveOpen,
            Command = asking?.Verb ?? Verb.None,
            Start = _gate.Start(asking, readings, Seed),
            Drawn = asking?.Drawn ?? default,
            AlarmAsk = asking?.Alarm ?? default,
            OpeningCommitted = _opening is { IsCompletedSuccessfully: true },
            LogCommits = _recorder.Commits,
            ProofOverdue = Proof.IsOverdue(now),
            SendingRefused = SendingRefused || now.Nanoseconds < Interlocked.Read(ref _missedUntil),
            TestCalls = WeeklyTest.Calls(now),
            OutcomeDue = OutcomeDue,
            DiskRoom = _recorder.Room,
            RoutineOverdue = Routine.IsOverdue(now) | _calibration.IsOverdue(now),
            CutUnknown = unknown,
            CutLonger = longer,
            BoardMissing = DevicesMissing is not null,
        };
        var before = State.Phase;
        Cycle.Step(State, samples, now, ref _effects);
        Act(now);
        if (State.Phase != Phase.Armed)
        {
            _opening = null;
        }
        else if (_opening is { IsFaulted: true })
        {
            _opening = null;
            _ = _askings.Add(new Asking(Verb.Close, "the log, which could not commit the opening"));
        }

        Answered = asking is not null;
        _opening = _told.Record(asking, _intake.Raw, samples, _effects, before, now) ?? _opening;
        WeeklyTest.Turn(_effects, now);
        Proof.Turn(readings, State.Phase, now);
        _told.Show(before, now);
        Shown = new Shown(State.Phase, State.Readings, Say, _told.Alarms, OpeningBudget.Of(State)) { Raw = _intake.Raw, Drops = _intake.Drops };
    }

    private void TellMissing(MonotonicTime now)
    {
        if (DevicesMissing is var missing && missing != _toldMissing)
        {
            _toldMissing = missing;
            _recorder.Event(
                missing is null ? "board-found" : "board-missing",
                missing is null ? $"The board is there: {_devices.Description}." : $"The board can not be opened, and nothing of {State.Station.Name} opens: {missing} It is tried again every {LateDevices.RetrySeconds:0} s.",
                State, now);
        }
    }

    /// <summary>Acts first, records afterwards.</summary>
    private void Act(MonotonicTime now)
    {
        var lease = now;
        foreach (ref readonly var effect in _effects)
        {
            lease = effect.Kind == EffectKind.Lease ? effect.Until : lease;
        }

        if (lease > now)
        {
            _devices.Valve?.Renew(lease);
        }
        else
        {
            _devices.Valve?.Close();
        }
    }
}
