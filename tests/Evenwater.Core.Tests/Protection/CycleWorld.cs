using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Protection;

/// <summary>A run on made-up readings, which dilute as a fill does unless told otherwise. The forecast's own closing is left aside.</summary>
internal sealed class CycleWorld
{
    private EffectBuffer _effects;
    private double _seconds = 100;
    private double _litres = 1.6;

    public CycleWorld(Station station, double gainRatio = 1, bool committed = true)
    {
        IsCommitted = committed;
        MicrosiemensPerCm = _ => 185 + (225 * 1.6 / _litres);
        State = new StationState(station)
        {
            Causes = (StationState state, in Readings readings, bool log, MonotonicTime now) =>
                TripCause.Of(state, readings, log, now) is var cause && cause == Trip.OverflowForecast ? Trip.None : cause,
        };
        Step(Verb.Begin, new RunStart(1, TestStation.Prior with { ToleranceMicrosiemensPerCm = station.Match.ToleranceMicrosiemensPerCm!.Value }, 7) { GainRatio = gainRatio });
        IsOpen = committed;
        Assert.Equal(committed ? Phase.Dripping : Phase.Armed, State.Phase);
    }

    public StationState State { get; }

    public bool IsOpen { get; set; }

    /// <summary>Whether the log commits each opening.</summary>
    public bool IsCommitted { get; set; }

    public int Evaluated { get; private set; }

    /// <summary>Whether the log can commit at all.</summary>
    public bool LogCommits { get; set; } = true;

    public bool HighWet { get; set; }

    /// <summary>Openings that were asked of the log.</summary>
    public int Asked { get; private set; }

    public Refusal Refusal { get; private set; }

    /// <summary>What the last step was told to do about the phase: the trips of its shuttings, and the phases that were told.</summary>
    public List<Trip> Shut { get; } = [];

    public List<Phase> Told { get; } = [];

    public double? TankMicrosiemensPerCm { get; init; }

    public Func<double, double> MicrosiemensPerCm { get; set; }

    public Func<double, double> Celsius { get; set; } = _ => 19.5;

    public void Seconds(int seconds)
    {
        for (var i = 0; i < seconds; i++) Step(Verb.None);
    }

    public void Step(Verb verb, RunStart? start = null, double seconds = 1, bool cutUnknown = false, double? cutLonger = null)
    {
        _seconds += seconds;
        _litres += IsOpen ? 0.015 / 60 * seconds : 0;
        var now = MonotonicTime.FromSeconds(_seconds);
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(MicrosiemensPerCm(_seconds) + (_seconds % 3 / 100), now);
        readings[Channel.VesselTemperature] = Reading.Of(Celsius(_seconds), now);
        readings[Channel.FloatHigh] = Reading.Of(HighWet ? 1 : 0, now);
        if (TankMicrosiemensPerCm is { } tank) readings[Channel.TankConductivity] = Reading.Of(tank, now);
        Cycle.Step(State, new Samples { Readings = readings, ValveOpen = IsOpen, Command = verb, Start = start, LogCommits = LogCommits, OpeningCommitted = IsCommitted, CutUnknown = cutUnknown, CutLonger = cutLonger }, now, ref _effects);
        Refusal = Refusal.None;
        Shut.Clear();
        Told.Clear();
        for (var i = 0; i < _effects.Count; i++)
        {
            Evaluated += _effects[i].Kind == EffectKind.Evaluated ? 1 : 0;
            Asked += _effects[i].Kind == EffectKind.AskOpening ? 1 : 0;
            if (_effects[i].Kind == EffectKind.Shut) Shut.Add(_effects[i].Trip);
            if (_effects[i].Kind == EffectKind.PhaseChanged) Told.Add(_effects[i].Phase);
            Refusal = _effects[i].Kind == EffectKind.Refused ? _effects[i].Refusal : Refusal;
        }

        if (State.Phase == Phase.Armed && verb == Verb.Begin && IsCommitted) Step(Verb.None);
    }
}
