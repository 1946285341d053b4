using Evenwater.Core.Stations;

namespace Evenwater.Hardware.Rig;

/// <summary>The truth: two waters, a drip between them, a room around them.</summary>
internal sealed class Plant
{
    /// <summary>Heat that one litre of water takes up, J/(L K), at 25 °C (IAPWS-95: 4.1813 kJ/(kg K), 0.99705 kg/L).</summary>
    private const double JoulesPerLitreKelvin = 4169;

    private readonly Station _station;
    private readonly RigFacts _facts;
    private readonly Faults _faults;
    private readonly Inflow _inflow;
    private bool _poured;
    private bool _drawn;

    public Plant(Station station, RigFacts facts, Faults faults)
    {
        _station = station;
        _facts = facts;
        _faults = faults;
        _inflow = new Inflow(station, facts);
        Tank = new SourceTank(station, facts);
        Vessel = new MixedVessel(facts, station.Waters.BagMicrosiemensPerCm, station.Waters.BagTemperatureCelsius);
    }

    public MixedVessel Vessel { get; }

    public SourceTank Tank { get; }

    /// <summary>The flow of the last step, mL/min.</summary>
    public double InflowMillilitresPerMinute { get; private set; }

    /// <summary>All that ran in, L.</summary>
    public double InflowLitres { get; private set; }

    /// <summary>What ran over the brim, L.</summary>
    public double SpilledLitres { get; private set; }

    /// <summary>What ran off through the standpipe, L.</summary>
    public double DrainedLitres { get; private set; }

    /// <summary>What ran beside the vessel, L.</summary>
    public double BesideLitres { get; private set; }

    /// <summary>What went to the air, L.</summary>
    public double EvaporatedLitres { get; private set; }

    /// <summary>What was taken out by hand, L.</summary>
    public double DrawnOffLitres { get; private set; }

    /// <summary>Moves all water on by one short step.</summary>
    /// <param name="atSeconds">Seconds into the night at the step's start.</param>
    /// <param name="seconds">The step. Any is stable; short against the filling and the mixing it is also exact enough.</param>
    /// <param name="openShare">Share of the step in which the valve is open.</param>
    /// <param name="random">The night's generator.</param>
    public void Step(double atSeconds, double seconds, double openShare, ref Pcg random)
    {
        Tank.Step(atSeconds, _faults);
        _inflow.Drift(seconds, ref random);
        var flow = _inflow.LitresPerSecond(atSeconds, Vessel.Litres, Tank, openShare, _faults);
        InflowMillilitresPerMinute = flow * 60_000;
        var litres = flow * seconds;
        InflowLitres += litres;
        Tank.Draw(litres);
        if (_faults.IsOn(FaultKind.TubeOut, atSeconds))
        {
            BesideLitres += litres;
        }
        else
        {
            Vessel.Pour(litres, Tank.Ec25, Tank.Celsius);
        }

        Hands(atSeconds);
        Vessel.MixAndExchange(seconds, _station.Room.TemperatureCelsius, _station.Vessel.HeatExchangeWattsPerKelvin / JoulesPerLitreKelvin);
        Lose(seconds, _faults.IsOn(FaultKind.StandpipeBlocked, atSeconds));
    }

    /// <summary>Somebody takes water out by hand.</summary>
    public void DrawOff(double litres) => DrawnOffLitres += Vessel.Scoop(litres);

    /// <summary>What a person does once, and tells nobody.</summary>
    private void Hands(double atSeconds)
    {
        if (!_poured && _faults.IsOn(FaultKind.PouredIn, atSeconds))
        {
            _poured = true;
            Vessel.Pour(RigFault.PouredLitres, _station.Waters.BagMicrosiemensPerCm, _station.Waters.BagTemperatureCelsius);
        }

        if (!_drawn && _faults.IsOn(FaultKind.DrawnUntold, atSeconds))
        {
            _drawn = true;
            DrawOff(RigFault.HandLitres);
        }
    }

    private void Lose(double seconds, bool blocked)
    {
        var evaporated = _station.Evaporation.MillilitresPerHour / 3.6e6 * seconds;
        Vessel.Evaporate(evaporated);
        EvaporatedLitres += evaporated;
        if (!blocked && _facts.StandpipeLitres is { } standpipe)
        {
            DrainedLitres += Vessel.RunOffAbove(standpipe);
        }

        SpilledLitres += Vessel.RunOffAbove(_facts.BrimLitres);
    }
}
