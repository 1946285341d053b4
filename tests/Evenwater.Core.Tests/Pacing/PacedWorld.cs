using Evenwater.Core.Stations;
using Evenwater.CoreTests.Protection;

namespace Evenwater.CoreTests.Pacing;

/// <summary>A stirred pail, a drip and two probes without noise unless told, and the cycle that holds the valve: no more than pacing needs.</summary>
internal sealed class PacedWorld
{
    private const double TankCelsius = 23;

    /// <summary>The probe's, and what the mixing takes.</summary>
    private const double LagSeconds = 60;

    private readonly double _litresPerSecond;
    private EffectBuffer _effects;
    private MonotonicTime _now = MonotonicTime.FromSeconds(100);
    private double _litres = 1.6;
    private readonly double _tank;
    private readonly double _scatter;
    private readonly Random _random = new(1);
    private double _shown;

    /// <param name="station">The station.</param>
    /// <param name="millilitresPerMinute">Of the open drip.</param>
    /// <param name="vessel">Where the vessel begins, µS/cm.</param>
    /// <param name="tank">The tank, µS/cm.</param>
    /// <param name="scatter">1-sigma of a reading of the vessel's probe, as a share of it, each by itself.</param>
    public PacedWorld(Station station, double millilitresPerMinute = 45, double vessel = 410, double tank = 185, double scatter = 0)
    {
        State = new StationState(station);
        _litresPerSecond = millilitresPerMinute / 60_000;
        (_shown, MicrosiemensPerCm, _tank, _scatter) = (vessel, vessel, tank, scatter);
    }

    public StationState State { get; }

    public double MicrosiemensPerCm { get; private set; }

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
            MicrosiemensPerCm = ((MicrosiemensPerCm * _litres) + (_tank * poured)) / (_litres + poured);
            Celsius = ((Celsius * _litres) + (TankCelsius * poured)) / (_litres + poured);
            _litres += poured;
        }

        _now = _now.Plus(1);
        _shown += (MicrosiemensPerCm - _shown) / LagSeconds;
        var dither = Math.Round(_now.Seconds) % 2 == 0 ? 0.05 : -0.05;
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = ProbeLost ? Reading.Missing(Reason.NoAnswer, _now) : Reading.Of((_shown * (1 + (_scatter * Normal()))) + dither, _now);
        readings[Channel.TankConductivity] = Reading.Of(_tank + dither, _now);
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

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
}
