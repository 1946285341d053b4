using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Pacing;
using Evenwater.Core.Safety;
using Evenwater.Core.Screening;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;

namespace Evenwater.Core;

/// <summary>
/// Everything one station remembers between cycles, in buffers of its own: a cycle allocates
/// nothing once a run is under way. Two equal states given equal inputs stay equal, bit for bit.
/// </summary>
public sealed class StationState
{
    /// <summary>Once its range was too wide a match is told again when it has been narrow enough for so long, s.</summary>
    private const double MatchSteadySeconds = 300;

    /// <summary>A state at rest, closed.</summary>
    public StationState(Station station)
    {
        ArgumentNullException.ThrowIfNull(station);
        Station = station;
        Limits = AnimalLimits.Of(station.Limits);
    }

    /// <summary>The station.</summary>
    public Station Station { get; private set; }

    /// <summary>What its animals may be put through.</summary>
    public AnimalLimits Limits { get; }

    /// <summary>Where the run stands.</summary>
    public Phase Phase { get; internal set; }

    /// <summary>What tripped it first; none unless tripped.</summary>
    public Trip Trip { get; internal set; }

    /// <summary>The run, or null when there was none yet.</summary>
    public RunStart? Run { get; internal set; }

    /// <summary>When the run began to drip first.</summary>
    public MonotonicTime StartedAt { get; internal set; }

    /// <summary>When the opening was last asked for.</summary>
    public MonotonicTime ArmedAt { get; internal set; }

    /// <summary>When the phase last changed.</summary>
    public MonotonicTime PhaseSince { get; internal set; }

    /// <summary>Since when no water has run in: the valve was open last then, or the run began. A reset, a restart or an opening that comes to nothing does not move it.</summary>
    public MonotonicTime StoodSince { get; internal set; }

    /// <summary>Whether it may be longer ago: the program was away since, and nobody can tell how long.</summary>
    public bool StoodLonger { get; internal set; }

    /// <summary>How long the valve has been open in this run, s.</summary>
    public double OpenSeconds { get; internal set; }

    /// <summary>How much water has run in in this run by the forecast's median flow, L.</summary>
    public double InflowLitres { get; internal set; }

    /// <summary>How many draw-offs were told in this run.</summary>
    public int DrawOffsTold { get; internal set; }

    /// <summary>What they were, L.</summary>
    public double DrawnOffLitres { get; internal set; }

    /// <summary>Room that they made as planned, L; see <see cref="InflowBudget"/>.</summary>
    public double RoomMadeLitres { get; internal set; }

    /// <summary>When the last cycle was.</summary>
    public MonotonicTime LastStepAt { get; internal set; }

    /// <summary>Whether there was one.</summary>
    public bool HasStepped { get; internal set; }

    /// <summary>Whether <see cref="Forecast"/> says anything.</summary>
    public bool HasForecast { get; internal set; }

    /// <summary>When the last evaluation was, or when the run began.</summary>
    public MonotonicTime EvaluatedAt { get; internal set; }

    /// <summary>Whether vessel and tank are even now.</summary>
    public bool IsEven { get; internal set; }

    /// <summary>Whether the two temperatures are even, or can not be judged.</summary>
    public bool TemperaturesAreEven { get; internal set; }

    /// <summary>Since when both have been even.</summary>
    public MonotonicTime EvenSince { get; internal set; }

    /// <summary>Whether they have been even for the dwell time in this run.</summary>
    public bool WasEven { get; internal set; }

    /// <summary>Whether they were taken as even a little less surely, because the mark was near.</summary>
    public bool ClosesNearMark { get; internal set; }

    /// <summary>A recorded trace drives the valve: the safety decision changes nothing in it, and a match does not close.</summary>
    public bool OpenLoop { get; init; }

    /// <summary>
    /// The high float sits below the mark, as in a recorded trace whose float is no trip float: it says where the water is, and
    /// what follows from that is the forecast's to say.
    /// </summary>
    public bool HighFloatOnlyMeasures { get; init; }

    /// <summary>The last screened readings.</summary>
    public Readings Readings { get; internal set; } = Readings.None();

    /// <summary>What the forecast has newly recognised in this run.</summary>
    public Noticed Noticed { get; internal set; }

    /// <summary>How fast the vessel's conductivity changes, µS/cm per hour.</summary>
    public RateWatch ConductivityRate { get; } = new();

    /// <summary>How fast the vessel's temperature changes, °C per hour.</summary>
    public RateWatch TemperatureRate { get; } = new();

    /// <summary>The estimator of the run, or null.</summary>
    public Estimator? Estimator { get; internal set; }

    /// <summary>Whether water was recognised to run through the closed valve, until a person resets: the evidence comes once and the leak stays.</summary>
    public bool LeakSeen { get; internal set; }

    /// <summary>Whether the valve is held open: the drip runs, and no pacing makes it rest.</summary>
    public bool HoldsOpen => Phase == Phase.Dripping && (!IsPaced || Pacer.Open);

    /// <summary>Whether this run's valve is opened in pulses.</summary>
    public bool IsPaced => Station.Pacing is not null && !OpenLoop && Run is { Unpaced: false };

    /// <summary>How fast and how far the run is paced; null without pacing, and before its first reading.</summary>
    public Pace? Pace => IsPaced ? Pacer.Pace : null;

    /// <summary>Pulses begun in this run.</summary>
    public int Pulses => Pacer.Pulses;

    internal long Evaluations { get; set; }

    internal Forecast LatestForecast;
    internal ScreenState Screen;
    internal AlarmStates Alarms;
    internal Pacer Pacer;

    /// <summary>The latest forecast; only when <see cref="HasForecast"/>.</summary>
    public ref readonly Forecast Forecast => ref LatestForecast;

    /// <summary>
    /// Whether the forecast's match is not to be told as a time: its range is too wide, or was within the last five minutes. At the edge it is
    /// the one at one evaluation and the other at the next, and words that change each minute tell nothing.
    /// </summary>
    public bool MatchCannotTell => LatestForecast.MatchSeconds is { CannotTell: var vague, P50: > 0 and < double.PositiveInfinity }
        ? vague || (Noticed.MatchUntold is { } at && LastStepAt.SecondsSince(at) < MatchSteadySeconds)
        : LatestForecast.MatchSeconds.CannotTell;

    /// <summary>Where one alarm stands.</summary>
    public AlarmState AlarmOf(AlarmId id) => Alarms[(int)id];

    /// <summary>Whether an alarm stands that stays until a person resets it: nothing opens before.</summary>
    public bool IsLatched
    {
        get
        {
            foreach (var row in AlarmTable.All)
            {
                if (row.Latches && Alarms[(int)row.Id].Stands)
                {
                    return true;
                }
            }

            return false;
        }
    }

    /// <summary>The table in force; tests break one arm of it to see the checks fail.</summary>
    internal Func<Phase, Facts, Phase> Table { get; init; } = (phase, facts) => Interlock.Next(phase, facts);

    /// <summary>What asks for a trip; tests break one arm of it to see the checks fail.</summary>
    internal CauseOfTrip Causes { get; init; } = TripCause.Of;

    /// <summary>Starts a run: forgets the last one's forecast and budgets.</summary>
    internal void Start(RunStart start, MonotonicTime now)
    {
        Run = start;
        StartedAt = now;
        StoodSince = now;
        StoodLonger = false;
        EvaluatedAt = now;
        OpenSeconds = 0;
        InflowLitres = 0;
        DrawOffsTold = 0;
        DrawnOffLitres = 0;
        RoomMadeLitres = 0;
        HasForecast = false;
        IsEven = false;
        WasEven = false;
        ClosesNearMark = false;
        Noticed = default;
        Pacer.Clear();
        Evaluations = 0;
        ConductivityRate.Clear();
        TemperatureRate.Clear();
        Estimator = new Estimator(start.Prior, start.Seed, Station.Safety.TripHorizonSeconds);
    }

    /// <summary>Water was taken out of the vessel in this run: the estimate and the budget know it from now on.</summary>
    public void TakeOut(Drawn drawn)
    {
        Estimator!.DrawOff(drawn.Litres, drawn.RelativeSd);
        RoomMadeLitres += InflowBudget.Credit(Station, DrawOffsTold, drawn.Litres);
        DrawOffsTold++;
        DrawnOffLitres += drawn.Litres;
    }

    /// <summary>
    /// Goes on with other calibrated values, once no run is on: a run keeps what it began with. What screening remembers of the values is forgotten, or the step between both would count as a jump of the water.
    /// </summary>
    /// <param name="station">The same station, with other calibrated values alone.</param>
    /// <returns>Whether it was done; false while a run is on.</returns>
    public bool Recalibrate(Station station)
    {
        if (Phase is not (Phase.Idle or Phase.Finished or Phase.Abandoned)) return false;
        Station = station;
        Screen = default;
        return true;
    }

    /// <summary>Makes a trip that is known from elsewhere hold here as well: the log tells of it, and only a reset ends it.</summary>
    public void Latch(Trip trip)
    {
        ArgumentOutOfRangeException.ThrowIfEqual((byte)trip, (byte)Trip.None);
        Phase = Phase.Tripped;
        Trip = trip;
    }

    /// <summary>Makes a run that is known from elsewhere to have been closed and held hold here as well: what opens it again is a person.</summary>
    public void Rest(MonotonicTime now)
    {
        if (Phase is Phase.Armed or Phase.Dripping)
        {
            (Phase, PhaseSince) = (Phase.Holding, now);
        }
    }

    /// <summary>Makes an alarm stand as the log says it stood, when that is not what the replay came to.</summary>
    /// <param name="id">Which.</param>
    /// <param name="standing">Where it stood.</param>
    /// <param name="active">Whether its condition was true.</param>
    /// <param name="activeSince">Since when, if it was.</param>
    /// <param name="standingSince">Since when it stood so.</param>
    /// <param name="shelvedUntil">When shelved: until when.</param>
    /// <param name="why">When put aside: why.</param>
    /// <param name="unseenCalls">How often it had called since a person last said that they have seen it.</param>
    public void Recall(AlarmId id, AlarmStanding standing, bool active, MonotonicTime activeSince, MonotonicTime standingSince, MonotonicTime shelvedUntil, string? why, int unseenCalls = 0)
    {
        ref var alarm = ref Alarms[(int)id];
        alarm.Standing = standing;
        alarm.Changing = false;

        // One that stands is so, and one that has gone is not, whatever the replay came to: it comes again, and calls, when it is still so.
        alarm.Active = standing switch
        {
            AlarmStanding.Unacknowledged or AlarmStanding.Acknowledged => true,
            AlarmStanding.Shelved or AlarmStanding.SuppressedByDesign or AlarmStanding.OutOfService => alarm.Active || active,
            _ => false,
        };
        LeakSeen |= id == AlarmId.FlowWhileClosed && alarm.Active;
        (alarm.ActiveSince, alarm.StandingSince, alarm.CalledAt) = (activeSince, standingSince, standingSince);
        (alarm.ShelvedUntil, alarm.Why, alarm.UnseenCalls) = (shelvedUntil, why, unseenCalls);
    }

    /// <summary>Starts a run that a recorded trace drives, already dripping.</summary>
    /// <exception cref="InvalidOperationException">The state is not an open-loop one.</exception>
    public void StartOpenLoop(RunStart start, MonotonicTime now)
    {
        if (!OpenLoop)
        {
            throw new InvalidOperationException("only an open-loop state starts without asking");
        }

        Start(start, now);
        Phase = Phase.Dripping;
    }
}

/// <summary>What asks for a trip now.</summary>
internal delegate Trip CauseOfTrip(StationState state, in Readings readings, bool logCommits, MonotonicTime now);
