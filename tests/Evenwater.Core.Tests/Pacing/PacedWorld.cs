using Evenwater.Core.Stations;
using Evenwater.CoreTests.Protection;

namespace Evenwater.CoreTests.Pacing;

/// <summary>A stirred pail, a drip and two probes without noise, and the cycle that holds the valve: no more than pacing needs.</summary>
internal sealed class PacedWorld
{
    private const double Tank = 185;
    private const double TankCelsius = 23;

    /// <summary>The probe's, and what the mixing takes.</summary>
    private const double LagSeconds = 60;

    private readonly double _litresPerSecond;
    private EffectBuffer _effects;
    private MonotonicTime _now = MonotonicTime.FromSeconds(100);
    private double _litres = 1.6;
    private double _shown = 410;

    public PacedWorld(Station station, double millilitresPerMinute = 45)
    {
        State = new StationState(station);
        _litresPerSecond = millilitresPerMinute / 60_000;
    }

    public StationState State { get; }

    public double MicrosiemensPerCm { get; private set; } = 410;

    public double Celsius { get; private set; } = 21.5;

    public bool Open { get; private set; }

    /// <summary>The drip comes so many times as fast.</summary>
    public double Factor { get; set; } = 1;

    /// <summary>The vessel's probe gives no answer.</summary>
    public bool ProbeLost { get; set; }

    public bool HighWet { get; set; }

    public static Station Paced(Limits limits, Core.Stations.Pacing? pacing = null) => TestStation.Make() with
    {
        Limits = limits,
        Drip = new Drip { FlowMillilitresPerMinute = 45 },
        Sensors = TestStation.Make().Sensors with { TankConductivity = new() { AdcInput = 1, CellConstantPerCm = 1 }, TankThermometer = "28-000000000002" },
        Pacing = pacing ?? new() { Path = PacePath.Limits },
    };

    /// <summary>One second: water first, then the cycle.</summary>
    public void Step(Verb verb = Verb.None, bool unpaced = false)
    {
        if (Open)
        {
            var poured = _litresPerSecond * Factor;
            MicrosiemensPerCm = ((MicrosiemensPerCm * _litres) + (Tank * poured)) / (_litres + poured);
            Celsius = ((Celsius * _litres) + (TankCelsius * poured)) / (_litres + poured);
            _litres += poured;
        }

        _now = _now.Plus(1);
        _shown += (MicrosiemensPerCm - _shown) / LagSeconds;
        var dither = Math.Round(_now.Seconds) % 2 == 0 ? 0.05 : -0.05;
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = ProbeLost ? Reading.Missing(Reason.NoAnswer, _now) : Reading.Of(_shown + dither, _now);
        readings[Channel.TankConductivity] = Reading.Of(Tank + dither, _now);
        readings[Channel.VesselTemperature] = Reading.Of(Math.Round(Celsius * 16) / 16, _now);
        readings[Channel.TankTemperature] = Reading.Of(TankCelsius, _now);
        readings[Channel.FloatHigh] = Reading.Of(HighWet ? 1 : 0, _now);
        var samples = new Samples
        {
            Readings = readings,
            ValveOpen = Open,
            Command = verb,
            Start = verb == Verb.Begin ? new RunStart(1, TestStation.Prior with { FlowMillilitresPerMinute = 45 }, 7, Unpaced: unpaced) : null,
            OpeningCommitted = true,
            LogCommits = true,
        };
        Cycle.Step(State, samples, _now, ref _effects);
        Open = false;
        for (var i = 0; i < _effects.Count; i++)
        {
            Open |= _effects[i].Kind == EffectKind.Lease;
        }
    }
}
