using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Hardware.Rig;

/// <summary>What the probes, floats and the leak sensor make of the plant, up to the wires: volts, levels and text.</summary>
internal sealed class Senses
{
    /// <summary>The leak sensor lies in the tray under the vessel and turns wet at this, L.</summary>
    private const double LeakLitres = 0.02;

    private readonly Sensors _sensors;
    private readonly RigFacts _facts;
    private readonly Faults _faults;
    private readonly Plant _plant;
    private readonly ProbeModel _vesselProbe;
    private readonly ProbeModel? _tankProbe;
    private readonly ThermometerModel _vesselThermometer;
    private readonly ThermometerModel _tankThermometer;
    private readonly SwitchModel _floatLow;
    private readonly SwitchModel _floatHigh;
    private double _seconds = double.NegativeInfinity;

    public Senses(Sensors sensors, RigFacts facts, Faults faults, Plant plant)
    {
        _sensors = sensors;
        _facts = facts;
        _faults = faults;
        _plant = plant;
        _vesselProbe = new ProbeModel(sensors.VesselConductivity, facts.VesselProbe);
        _tankProbe = sensors.TankConductivity is { } tank ? new ProbeModel(tank, facts.TankProbe) : null;
        _vesselThermometer = new ThermometerModel(facts.VesselThermometer);
        _tankThermometer = new ThermometerModel(facts.TankThermometer);
        _floatLow = new SwitchModel(facts.FloatLowLitres);
        _floatHigh = new SwitchModel(facts.FloatHighLitres);
        _vesselProbe.Settle(plant.Vessel.MainEc25, plant.Vessel.MainCelsius);
        _tankProbe?.Settle(plant.Tank.Ec25, plant.Tank.Celsius);
        _vesselThermometer.Settle(plant.Vessel.MainCelsius);
        _tankThermometer.Settle(plant.Tank.Celsius);
        _floatLow.Step(plant.Vessel.Litres);
        _floatHigh.Step(plant.Vessel.Litres);
    }

    /// <summary>What a joined cell reads of the other's water beside its own; over a tenth in ngspice for bare cells (frontend.cir).</summary>
    private const double JoinedShare = 0.1;

    /// <summary>Half a period of a contact that bounces, s.</summary>
    private const double BounceSeconds = 7;

    /// <summary>Whether both conductivity probes, with their thermometers, stand in one cup of the tank's water.</summary>
    public bool InOneCup { get; set; }

    /// <summary>The cup that the vessel's probe stands in with its thermometer; null in its own water.</summary>
    public SimulatedCup? VesselCup { get; set; }

    /// <summary>The same of the tank's.</summary>
    public SimulatedCup? TankCup { get; set; }

    /// <summary>The switches that a person holds wet, by hand or with a damp cloth.</summary>
    public HashSet<Channel> HeldWet { get; } = [];

    /// <summary>Follows the plant for one step.</summary>
    /// <param name="atSeconds">Seconds into the night.</param>
    /// <param name="seconds">The step.</param>
    /// <param name="random">The night's generator.</param>
    public void Step(double atSeconds, double seconds, ref Pcg random)
    {
        _seconds = atSeconds;
        var vessel = _plant.Vessel;
        var tank = (_plant.Tank.Ec25, _plant.Tank.Celsius);
        var inTank = Cup(TankCup) ?? tank;
        var inVessel = Cup(VesselCup) ?? (InOneCup ? tank : (Ec25: vessel.MainEc25, Celsius: vessel.MainCelsius));
        var swapped = IsOn(FaultKind.ProbesSwapped);
        var (first, second) = swapped ? (inTank, inVessel) : (inVessel, inTank);
        var (firstInCup, secondInCup) = swapped ? (TankCup is not null, VesselCup is not null) : (VesselCup is not null, TankCup is not null);
        var joined = IsOn(FaultKind.ProbesJoined) ? JoinedShare : 0;
        (first.Ec25, second.Ec25) = (first.Ec25 + (joined * second.Ec25), second.Ec25 + (joined * first.Ec25));
        _vesselProbe.Step(seconds, first.Ec25, first.Celsius, ProbeTrouble.OfVessel(_faults, _seconds), ref random, firstInCup);
        _tankProbe?.Step(seconds, second.Ec25, second.Celsius, ProbeTrouble.None, ref random, secondInCup);
        _vesselThermometer.Step(seconds, inVessel.Celsius, ref random);
        _tankThermometer.Step(seconds, inTank.Celsius, ref random);
        var level = vessel.Litres + (_facts.RippleLitres * random.NextNormal());
        _floatLow.Step(level);
        _floatHigh.Step(level);
    }

    /// <summary>The voltage at one input of one ADC; 0 where nothing is wired.</summary>
    public double InputVolts(int address, int input)
    {
        return IsAt(_sensors.VesselConductivity) ? _vesselProbe.Volts
            : _tankProbe is not null && IsAt(_sensors.TankConductivity!) ? _tankProbe.Volts
            : 0;

        bool IsAt(ConductivityInput probe) => probe.AdcAddress == address && probe.AdcInput == input;
    }

    /// <summary>Whether an input line is high: contact open, wire cut, or nothing wired to its pull-up.</summary>
    /// <exception cref="IOException">The line can not be read.</exception>
    public bool LineIsHigh(int line)
    {
        if (IsOn(FaultKind.SwitchesLost))
        {
            throw new IOException($"line {line} can not be read");
        }

        var hang = IsOn(FaultKind.FloatStuckDry);
        return line == _sensors.FloatLowLine && IsOn(FaultKind.LowFloatBounces) ? _seconds % (2 * BounceSeconds) < BounceSeconds
            : line == _sensors.FloatLowLine ? (_floatLow.Wet || HeldWet.Contains(Channel.FloatLow)) && !hang
            : line == _sensors.FloatHighLine ? IsOn(FaultKind.FloatCut) || ((_floatHigh.Wet || HeldWet.Contains(Channel.FloatHigh)) && !hang)
            : line != _sensors.LeakLine
                || ((IsOn(FaultKind.LeakWet) || _plant.SpilledLitres + _plant.BesideLitres > LeakLitres || HeldWet.Contains(Channel.Leak)) && !IsOn(FaultKind.LeakStuckDry));
    }

    /// <summary>The text of one thermometer; null when there is none of that name.</summary>
    public string? WireText(string id) =>
        id == _sensors.VesselThermometer ? _vesselThermometer.Text(converted: !IsOn(FaultKind.Thermometer85))
        : id == _sensors.TankThermometer ? _tankThermometer.Text(converted: true)
        : null;

    private static (double Ec25, double Celsius)? Cup(SimulatedCup? cup) =>
        cup is { } there ? (NaturalWater.To25(there.MicrosiemensPerCm, there.Celsius), there.Celsius) : null;

    private bool IsOn(FaultKind kind) => _faults.IsOn(kind, _seconds);
}
