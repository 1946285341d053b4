using System.Device.Gpio;
using System.Device.I2c;
using System.Diagnostics.CodeAnalysis;
using Evenwater.Core;
using Evenwater.Core.Stations;

namespace Evenwater.Hardware.Rig;

/// <summary>
/// One simulated night at the level of the buses: a plant behind an I2C bus with ADS1115s on it, GPIO lines and 1-wire text, so that
/// the very drivers of a real board read it. It has no clock: <see cref="Advance"/> is the only thing that makes time pass.
/// The same station, seed, faults and calls give the same night, bit for bit.
/// </summary>
/// <remarks>
/// The buses may be used from other threads than the one that advances. The valve closes 2 s of the rig's time after the last
/// toggle, so at any speed there must be a pulse at least once in each 2 s of the rig's time.
/// Nothing here was fitted to a real bucket. A high float wired in series with the coil, as it should be on a real station, is left
/// out unless it is asked for (<see cref="Layers.Float"/>): on the rig the program alone must close.
/// </remarks>
[SuppressMessage("Design", "CA1001", Justification = "The bus is memory alone, and outlives the devices that a restarted program makes on it.")]
public sealed class SimulatedRig
{
    /// <summary>The plant moves in steps of this, s.</summary>
    private const double StepSeconds = 0.5;

    /// <summary>The generator's stream for what came later, so that nights without it stay the same.</summary>
    private const ulong VolumeStream = 3;

    private const ulong SeriesFloatStream = 4;

    private const ulong LightStream = 5;

    private readonly Lock _lock = new();
    private readonly RigFacts _facts;
    private readonly Faults _faults;
    private readonly Plant _plant;
    private readonly Senses _senses;
    private readonly int _valveLine;
    private readonly ValveCircuit _coil;
    private readonly FakeI2cBus _bus;
    private readonly FakeGpioDriver _pins;
    private readonly VolumeSenses _volumes;
    private readonly DropBeam? _beam;
    private readonly Sensors _sensors;
    private readonly bool _calm;
    private Pcg _random;
    private Pcg _volumeRandom;
    private Pcg _lightRandom;
    private double _lux;
    private MonotonicTime? _start;
    private MonotonicTime _now;
    private long _steps;

    /// <summary>A night of one station.</summary>
    /// <param name="station">What the keeper expects; the truth is drawn around it.</param>
    /// <param name="seed">Chooses the night.</param>
    /// <param name="faults">What goes wrong.</param>
    /// <param name="layers">What stands between the water and the floor.</param>
    /// <param name="calm">Whether everything is as the station expects, to the letter; the seed then decides the readings' noise alone.</param>
    /// <param name="probesOf">Whose night's probes and thermometers hang in it, by its seed; null: its own.</param>
    public SimulatedRig(Station station, ulong seed, IReadOnlyList<RigFault> faults, Layers layers = Layers.Usual, bool calm = false, ulong? probesOf = null)
        : this(station, seed, faults, facts => calm ? RigFacts.Calm(station) : probesOf is { } other ? facts.WithProbesOf(station, other) : facts, layers) => _calm = calm;

    internal SimulatedRig(Station station, ulong seed, IReadOnlyList<RigFault> faults, Func<RigFacts, RigFacts> change, Layers layers = Layers.Usual)
    {
        ArgumentNullException.ThrowIfNull(station);
        ArgumentNullException.ThrowIfNull(faults);
        Description = $"simulated rig, seed {seed}, {(faults.Count == 0 ? "no faults" : string.Join(", ", faults))}";
        _random = new Pcg(seed);
        _volumeRandom = new Pcg(seed, VolumeStream);
        _lightRandom = new Pcg(seed, LightStream);
        var floatRandom = new Pcg(seed, SeriesFloatStream);
        var facts = RigFacts.Draw(station, ref _random).WithVolumeSensors(station, ref _volumeRandom).WithSeriesFloat(station, ref floatRandom);
        facts = faults.Any(f => f.Kind == FaultKind.VesselSmaller) ? facts.Smaller() : facts;
        _facts = change(layers.HasFlag(Layers.Intake) ? facts : facts with { IntakeMillimetres = RigFault.DeepIntakeMillimetres });
        _faults = new Faults(faults);
        _coil = new ValveCircuit(_facts, _faults, layers);
        _plant = new Plant(station, _facts, _faults);
        var sensors = _sensors = station.Sensors;
        _senses = new Senses(sensors, _facts, _faults, _plant);
        _volumes = new VolumeSenses(station, _facts, _faults, _plant);
        _valveLine = sensors.ValveLine;
        _bus = new FakeI2cBus(sensors.I2cBus);
        foreach (var address in new[] { sensors.VesselConductivity.AdcAddress, sensors.TankConductivity?.AdcAddress, sensors.Level?.AdcAddress }.OfType<int>().Distinct())
        {
            _bus.Attach(address, input => Locked(() => InputVolts(address, input)));
        }

        if (sensors.Light is { } light)
        {
            _bus.AttachLight(light.Address, () => Locked(() => _lux / light.Factor));
        }

        _pins = new FakeGpioDriver(line => Locked(() => LineIsHigh(line)), WriteLine);
        _beam = sensors.DropCounterLine is { } beam ? new DropBeam(_pins, beam) : null;
        Wire = new MemoryOneWire(id => Locked(() => _senses.WireText(id)));
    }

    /// <summary>What this is, for the log.</summary>
    public string Description { get; }

    /// <summary>Water in the vessel, L.</summary>
    public double VolumeLitres => _plant.Vessel.Litres;

    /// <summary>Volume at which this night's vessel spills, L.</summary>
    public double BrimLitres => _facts.BrimLitres;

    /// <summary>Mean of the vessel's water, µS/cm at 25 °C.</summary>
    public double VesselEc25 => _plant.Vessel.Ec25;

    /// <summary>The tank's water, µS/cm at 25 °C.</summary>
    public double TankEc25 => _plant.Tank.Ec25;

    /// <summary>Mean of the vessel's water, °C.</summary>
    public double VesselCelsius => _plant.Vessel.Celsius;

    /// <summary>The tank's water, °C.</summary>
    public double TankCelsius => _plant.Tank.Celsius;

    /// <summary>The light over the tank, lx.</summary>
    public double TankLux => _lux;

    /// <summary>Running in now, mL/min, through the open valve or past the closed one.</summary>
    public double InflowMillilitresPerMinute => _plant.InflowMillilitresPerMinute;

    /// <summary>What has run in so far, L.</summary>
    public double InflowLitres => _plant.InflowLitres;

    /// <summary>What has run over the brim so far, L.</summary>
    public double SpilledLitres => _plant.SpilledLitres;

    /// <summary>What has run beside the vessel so far, L.</summary>
    public double BesideLitres => _plant.BesideLitres;

    /// <summary>What the standpipe has sent to the catch vessel so far, L.</summary>
    public double DrainedLitres => _plant.DrainedLitres;

    /// <summary>Whether the coil holds the valve open now.</summary>
    public bool ValveOpen => _coil.IsOpen(_now);

    /// <summary>The I2C bus.</summary>
    internal I2cBus Bus => _bus;

    /// <summary>The GPIO lines.</summary>
    internal GpioDriver Pins => _pins;

    /// <summary>When what the wires show now happened. May be asked while they tell of it: takes no lock.</summary>
    internal MonotonicTime WireTime => _beam?.Time ?? default;

    /// <summary>The 1-wire thermometers.</summary>
    internal IOneWire Wire { get; }

    /// <summary>What this night was drawn to be.</summary>
    internal RigFacts Facts => _facts;

    /// <summary>The truth behind the public figures.</summary>
    internal Plant Plant => _plant;

    /// <summary>The true gain of a conductivity probe.</summary>
    internal double GainOf(Channel channel) => channel == Channel.VesselConductivity ? _facts.VesselProbe.Gain : _facts.TankProbe.Gain;

    /// <summary>Lets time pass up to an instant. The first call starts the night; going back is ignored.</summary>
    public void Advance(MonotonicTime to)
    {
        lock (_lock)
        {
            _start ??= to;
            if (_start is not { } start || to <= _now)
            {
                return;
            }

            _now = to;
            var whole = (long)(to.SecondsSince(start) / StepSeconds);
            for (; _steps < whole; _steps++)
            {
                Step(_steps * StepSeconds, start.Plus(_steps * StepSeconds));
            }

            _beam?.Pass(to);
        }
    }

    /// <summary>A person takes water out of the vessel, as much as was meant but for that person's own error.</summary>
    /// <param name="litres">What was meant, L.</param>
    /// <param name="relativeSd">1-sigma of it, as a fraction.</param>
    public void DrawOff(double litres, double relativeSd)
    {
        lock (_lock)
        {
            _plant.DrawOff(litres * Math.Max(0.2, 1 + (relativeSd * (_calm ? 0 : Math.Clamp(_volumeRandom.NextNormal(), -3, 3)))));
        }
    }

    /// <summary>A person measures the tank with an instrument of the keeper's own, good to 1 %, µS/cm at 25 °C.</summary>
    public double TankByHand()
    {
        lock (_lock)
        {
            return _plant.Tank.Ec25 * (1 + (_calm ? 0 : 0.01 * _volumeRandom.NextNormal()));
        }
    }

    /// <summary>A person puts both conductivity probes, with their thermometers, into one cup of the tank's water, or back where they belong.</summary>
    public void PutInOneCup(bool together)
    {
        lock (_lock)
        {
            _senses.InOneCup = together;
        }
    }

    /// <summary>A person dips a conductivity probe, with its thermometer, into a cup, or puts it back where it belongs.</summary>
    /// <param name="vessel">The vessel's probe; else the tank's.</param>
    /// <param name="cup">What it is dipped into; null: its own water.</param>
    public void Dip(bool vessel, SimulatedCup? cup)
    {
        lock (_lock)
        {
            if (vessel)
            {
                _senses.VesselCup = cup;
            }
            else
            {
                _senses.TankCup = cup;
            }
        }
    }

    /// <summary>A person empties the vessel and pours a known volume into it, as scale and level sensor then see it; null: the night's own water again.</summary>
    /// <param name="litres">0 for empty, L.</param>
    public void Pour(double? litres)
    {
        lock (_lock)
        {
            _volumes.PouredLitres = litres;
        }
    }

    /// <summary>A person holds a float up, or a damp cloth to the leak sensor, or lets go.</summary>
    public void HoldWet(Channel channel, bool wet)
    {
        lock (_lock)
        {
            _ = wet ? _senses.HeldWet.Add(channel) : _senses.HeldWet.Remove(channel);
        }
    }

    /// <summary>A person pulls the valve's plug or lifts the float in its supply, or puts that back.</summary>
    public void CutCoil(bool cut)
    {
        lock (_lock)
        {
            _coil.Cut = cut;
        }
    }

    private void Step(double seconds, MonotonicTime at)
    {
        _plant.Step(seconds, StepSeconds, _coil.OpenShare(seconds, at, StepSeconds, _plant.Vessel.Litres), ref _random);
        _senses.Step(seconds, StepSeconds, ref _random);
        _bus.Silent = _faults.IsOn(FaultKind.NoAnswer, seconds);
        _lux = Lamp.Lux(seconds, ref _lightRandom);
        _volumes.Step(seconds, StepSeconds, ref _volumeRandom);
        _beam?.Tell(_volumes, at, StepSeconds);
    }

    /// <summary>Whether a switch's line is high now, whatever the program has made of it: wet, held wet, or cut.</summary>
    public bool WireIsWet(Channel channel)
    {
        lock (_lock)
        {
            return (channel == Channel.FloatHigh ? _sensors.FloatHighLine : channel == Channel.Leak ? _sensors.LeakLine : null) is { } line
                && !_faults.IsOn(FaultKind.SwitchesLost, _steps * StepSeconds) && _senses.LineIsHigh(line);
        }
    }

    private double InputVolts(int address, int input) =>
        _sensors.Level is { } level && level.AdcAddress == address && level.AdcInput == input
            ? _volumes.LevelVolts
            : _senses.InputVolts(address, input);

    private bool LineIsHigh(int line) =>
        line == _sensors.LoadCell?.DataLine ? _volumes.Scale.DataIsHigh
        : line == _sensors.DropCounterLine ? _volumes.BeamIsBlocked
        : _senses.LineIsHigh(line);

    private void WriteLine(int line, bool high)
    {
        if (line == _sensors.LoadCell?.ClockLine)
        {
            lock (_lock)
            {
                _volumes.Scale.Clock(high);
            }
        }
        else if (line == _valveLine)
        {
            lock (_lock)
            {
                _coil.Write(high, _now);
            }
        }
    }

    private T Locked<T>(Func<T> read)
    {
        lock (_lock)
        {
            return read();
        }
    }
}
