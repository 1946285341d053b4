using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.CoreTests.Protection;

namespace Evenwater.CoreTests.Alarms;

/// <summary>A station whose phase and readings are set by hand, and its alarms stepped once a second.</summary>
internal sealed class AlarmWorld
{
    private EffectBuffer _effects;

    public AlarmWorld(Phase phase = Phase.Dripping, Core.Stations.Tank? tank = null, bool highOnlyMeasures = false)
    {
        State = new(TestStation.Make() with { Tank = tank ?? new() }) { HighFloatOnlyMeasures = highOnlyMeasures };
        State.Phase = phase;
        State.Run = new RunStart(1, TestStation.Prior, 7);
        State.HasForecast = true;
        Flow(15);
        Probe(good: true);
        Floor(wet: false);
        High(wet: false);
    }

    public StationState State { get; }

    public MonotonicTime Now { get; private set; } = MonotonicTime.FromSeconds(1000);

    public bool LogCommits { get; set; } = true;

    public bool TestCalls { get; set; }

    public DiskRoom DiskRoom { get; set; }

    /// <summary>What the last cycle told of.</summary>
    public HashSet<AlarmId> Told { get; } = [];

    /// <summary>Every call to a person so far.</summary>
    public List<AlarmId> Calls { get; } = [];

    public Refusal Refusal { get; private set; }

    public AlarmStanding this[AlarmId id] => State.AlarmOf(id).Standing;

    public void Go(double seconds)
    {
        for (var i = 0; i < seconds; i++)
        {
            Step();
        }
    }

    public Refusal Ask(Verb verb, AlarmId id = AlarmId.None, double seconds = 0, string? why = null)
    {
        Step(verb, new AlarmAsk(id, seconds, why));
        return Refusal;
    }

    public void Step(Verb verb = Verb.None, AlarmAsk ask = default, bool reset = false, bool evaluated = false)
    {
        Now = Now.Plus(1);
        _effects.Clear();
        if (evaluated) _effects.Add(new Effect(EffectKind.Evaluated));
        AlarmRound.Step(State, new Samples { Command = verb, AlarmAsk = ask, LogCommits = LogCommits, TestCalls = TestCalls, DiskRoom = DiskRoom }, reset, Now, ref _effects);
        Refusal = Refusal.None;
        Told.Clear();
        for (var i = 0; i < _effects.Count; i++)
        {
            if (_effects[i].Kind == EffectKind.AlarmChanged)
            {
                Assert.True(Told.Add(_effects[i].Alarm), "an alarm is told once a cycle");
                Assert.Equal(State.AlarmOf(_effects[i].Alarm).Standing, _effects[i].Standing);
            }

            Refusal = _effects[i].Kind == EffectKind.Refused ? _effects[i].Refusal : Refusal;
            if (_effects[i].Calls)
            {
                Calls.Add(_effects[i].Alarm);
            }
        }
    }

    public void Trip(Trip trip) => (State.Phase, State.Trip) = (Phase.Tripped, trip);

    /// <summary>A reset as the interlock grants it.</summary>
    public void Reset()
    {
        (State.Phase, State.Trip) = (Phase.Holding, Evenwater.Core.Safety.Trip.None);
        Step(Verb.Reset, reset: true);
    }

    public void Probe(bool good, Channel channel = Channel.VesselConductivity) => Set(channel, good ? Reading.Of(400, Now) : Reading.Missing(Reason.NoAnswer, Now));

    public void Tank(double microsiemensPerCm, double celsius)
    {
        Set(Channel.TankConductivity, Reading.Of(microsiemensPerCm, Now));
        Set(Channel.TankTemperature, Reading.Of(celsius, Now));
    }

    public void Floor(bool? wet) => Set(Channel.Leak, Switch(wet));

    public void High(bool? wet) => Set(Channel.FloatHigh, Switch(wet));

    public void Flow(double mostMillilitresPerMinute) =>
        State.LatestForecast = State.LatestForecast with { FlowMillilitresPerMinute = new(0, 0, 0, 0, mostMillilitresPerMinute) };

    public void Brim(double probability) => State.LatestForecast = State.LatestForecast with { QuietBrimProbability = probability };

    public void Leaks()
    {
        State.LatestForecast = State.LatestForecast with { Events = ForecastEvents.Leak };
        Step(evaluated: true);
        State.LatestForecast = State.LatestForecast with { Events = ForecastEvents.None };
    }

    private Reading Switch(bool? wet) => wet is { } known ? Reading.Of(known ? 1 : 0, Now) : Reading.Missing(Reason.NoAnswer, Now);

    private void Set(Channel channel, Reading reading)
    {
        var readings = State.Readings;
        readings[channel] = reading;
        State.Readings = readings;
    }
}
