using CsCheck;
using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Protection;

/// <summary>One cycle's worth of weather for the interlock.</summary>
public readonly record struct Weather(
    Verb Command, bool HighWet, bool LeakWet, bool SwitchLost, bool ProbeLost, bool LogCommits, bool Committed, bool Even, Trip Cause, double Seconds, AlarmId Alarm);

/// <summary>A station driven by random weather. The forecast's causes are injected, since no estimator makes them on demand.</summary>
internal sealed class SafetyWorld
{
    private MonotonicTime _now = MonotonicTime.FromSeconds(100);
    private EffectBuffer _effects;

    public SafetyWorld(Func<Phase, Facts, Phase>? table = null, CauseOfTrip? causes = null, bool mayResume = false, bool paced = false)
    {
        Station = TestStation.Make(mayResume) with { Pacing = paced ? new() { Path = PacePath.Line, OverHours = 8 } : null };
        State = new StationState(Station)
        {
            Table = table ?? ((phase, facts) => Interlock.Next(phase, facts)),
            Causes = causes ?? WithInjected,
        };
    }

    public Station Station { get; }

    public StationState State { get; }

    public Trip Injected { get; private set; }

    public MonotonicTime? LeaseUntil { get; private set; }

    public Refusal Refusal { get; private set; }

    private static readonly Gen<Verb> Commands = CsCheck.Gen.Frequency(
        (6, CsCheck.Gen.Const(Verb.None)), (4, CsCheck.Gen.Const(Verb.Begin)), (1, CsCheck.Gen.Const(Verb.Close)),
        (2, CsCheck.Gen.Const(Verb.Reset)), (1, CsCheck.Gen.Const(Verb.Finish)), (1, CsCheck.Gen.Const(Verb.Restarted)),
        (1, CsCheck.Gen.Enum<Verb>().Where(AlarmAsk.Concerns)), (1, CsCheck.Gen.Const(Verb.Drawn)));

    private static readonly Gen<Trip> Causes = CsCheck.Gen.Frequency(
        (12, CsCheck.Gen.Const(Trip.None)), (1, CsCheck.Gen.Enum<Trip>()));

    public static Gen<Weather> Gen { get; } =
        from command in Commands
        from high in Rarely(12)
        from leak in Rarely(12)
        from lost in Rarely(12)
        from probe in Rarely(12)
        from logLost in Rarely(12)
        from uncommitted in Rarely(2)
        from even in Rarely(12)
        from cause in Causes
        from seconds in CsCheck.Gen.Double[0.05, 2.0]
        from alarm in CsCheck.Gen.Enum<AlarmId>()
        select new Weather(command, high, leak, lost, probe, !logLost, !uncommitted, even, cause, seconds, alarm);

    /// <summary>The real causes first, then the injected one, which stands for the forecast, the budgets and the limits.</summary>
    public Trip WithInjected(StationState state, in Readings readings, bool logCommits, MonotonicTime now)
    {
        var real = TripCause.Of(state, readings, logCommits, now);
        return real == Trip.None && state.Phase == Phase.Dripping ? Injected : real;
    }

    public Phase Step(in Weather weather, bool cut = false)
    {
        _now = _now.Plus(weather.Seconds);
        Injected = weather.Cause;
        State.WasEven |= weather.Even && State.Phase == Phase.Dripping;
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Probe(weather.ProbeLost, 400 + (_now.Seconds % 7));
        readings[Channel.VesselTemperature] = Probe(weather.ProbeLost, 20);
        readings[Channel.FloatHigh] = weather.SwitchLost ? Reading.Missing(Reason.NoAnswer, _now) : Reading.Of(weather.HighWet ? 1 : 0, _now);
        readings[Channel.Leak] = Reading.Of(weather.LeakWet ? 1 : 0, _now);
        var samples = new Samples
        {
            Readings = readings,
            ValveOpen = LeaseUntil is not null && !cut,
            Command = weather.Command,
            Start = weather.Command == Verb.Begin ? new RunStart(1, TestStation.Prior, 7) : null,
            Drawn = weather.Command == Verb.Drawn ? new Drawn(0.1, 0.02) : default,
            AlarmAsk = AlarmAsk.Concerns(weather.Command) ? new AlarmAsk(weather.Alarm, 5, "a test") : default,
            OpeningCommitted = weather.Committed,
            LogCommits = weather.LogCommits,
        };
        Cycle.Step(State, samples, _now, ref _effects);
        LeaseUntil = null;
        Refusal = Refusal.None;
        for (var i = 0; i < _effects.Count; i++)
        {
            LeaseUntil = _effects[i].Kind == EffectKind.Lease ? _effects[i].Until : LeaseUntil;
            Refusal = _effects[i].Kind == EffectKind.Refused ? _effects[i].Refusal : Refusal;
        }

        return State.Phase;
    }

    public MonotonicTime Now => _now;

    private Reading Probe(bool lost, double value) => lost ? Reading.Missing(Reason.NoAnswer, _now) : Reading.Of(value, _now);

    private static Gen<bool> Rarely(int odds) => CsCheck.Gen.Int[0, odds].Select(i => i == 0);
}

/// <summary>A small station for the safety tests.</summary>
internal static class TestStation
{
    public static Prior Prior { get; } = new()
    {
        StartVolumeLitres = 1.6, StartVolumeRelativeSd = 0.02, BrimLitres = 11.6, FreeboardLitres = 1.2,
        FlowMillilitresPerMinute = 15, ToleranceMicrosiemensPerCm = 40,
    };

    public static Station Make(bool mayResume = false) => new()
    {
        Name = "sim-test",
        Vessel = new Vessel
        {
            StartVolumeLitres = 1.6, StartVolumeSdLitres = 0.032, BrimLitres = 11.6, BrimSdLitres = 0.12, FreeboardLitres = 1.2,
        },
        Drip = new Drip { FlowMillilitresPerMinute = 15 },
        Match = new Match { ToleranceMicrosiemensPerCm = 40 },
        Source = new Source { VolumeLitres = 240, MaxDrawLitres = 14, SurfaceAreaSquareMetres = 0.48, IntakeDepthMillimetres = 16 },
        Waters = new Waters { BagMicrosiemensPerCm = 410, BagTemperatureCelsius = 19.5, TankMicrosiemensPerCm = 185, TankTemperatureCelsius = 23 },
        Sensors = new Sensors
        {
            Source = SensorSource.Simulated,
            VesselConductivity = new ConductivityInput { AdcInput = 0, CellConstantPerCm = 1 },
            VesselThermometer = "28-000000000001",
            ValveLine = 23,
        },
        Safety = new Evenwater.Core.Stations.Safety { MaxOpenMinutes = 780, MaxInflowLitres = 10, ResumeAfterRestart = mayResume },
    };
}
