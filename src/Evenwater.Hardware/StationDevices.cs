using System.Device.Gpio;
using System.Device.Gpio.Drivers;
using System.Device.I2c;
using System.Diagnostics;
using System.Diagnostics.CodeAnalysis;
using System.Runtime.ExceptionServices;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;

namespace Evenwater.Hardware;

/// <summary>
/// Every device of one station. Three loops may use it side by side, each from one thread only: <see cref="ReadProbes"/>,
/// <see cref="PollSwitches"/>, and <see cref="Valve.Pulse"/>.
/// </summary>
[SuppressMessage("Reliability", "CA2213", Justification = "Dispose goes through all of them in a list.")]
public sealed class StationDevices : IDisposable
{
    private readonly I2cBus _bus;
    private readonly GpioController _controller;
    private readonly Dictionary<int, Adc> _adcs = [];
    private readonly ConductivityProbe _vesselConductivity;
    private readonly ConductivityProbe? _tankConductivity;
    private readonly Thermometer _vesselThermometer;
    private readonly Thermometer? _tankThermometer;
    private readonly SwitchInput? _floatLow;
    private readonly SwitchInput? _floatHigh;
    private readonly SwitchInput? _leak;
    private readonly DropCounter? _drops;
    private readonly LoadCell? _loadCell;
    private readonly LevelSensor? _level;
    private readonly LightSensor? _light;
    private bool _tankThermometerIsNext;
    private bool _bothThermometersRead;
    private bool _disposed;

    private StationDevices(Sensors sensors, I2cBus bus, GpioController controller, IOneWire wire, Func<MonotonicTime> clock, string description)
    {
        _bus = bus;
        _controller = controller;
        Description = description;
        Valve = Take(nameof(sensors.ValveLine), sensors.ValveLine, line => new Valve(controller, line)); // first: low before anything else can fail
        _vesselConductivity = Probe(sensors.VesselConductivity);
        _tankConductivity = sensors.TankConductivity is { } tank ? Probe(tank) : null;
        _vesselThermometer = new Thermometer(wire, sensors.VesselThermometer);
        _tankThermometer = sensors.TankThermometer is { } id ? new Thermometer(wire, id) : null;
        _floatLow = Switch(nameof(sensors.FloatLowLine), sensors.FloatLowLine);
        _floatHigh = Switch(nameof(sensors.FloatHighLine), sensors.FloatHighLine);
        _leak = Switch(nameof(sensors.LeakLine), sensors.LeakLine);
        _drops = sensors.DropCounterLine is { } beam ? Take(nameof(sensors.DropCounterLine), beam, line => new DropCounter(controller, line, clock)) : null;
        _loadCell = sensors.LoadCell is { } cell
            ? Take($"{nameof(sensors.LoadCell)}.clockLine and dataLine", cell.ClockLine, line => new LoadCell(controller, line, cell.DataLine, clock))
            : null;
        _level = sensors.Level is { } level ? new LevelSensor(AdcAt(level.AdcAddress), level) : null;
        _light = sensors.Light is { } light ? new LightSensor(bus.CreateDevice(light.Address)) : null;
    }

    /// <summary>The valve's output.</summary>
    public Valve Valve { get; }

    /// <summary>What was opened, for the log.</summary>
    public string Description { get; }

    /// <summary>The devices on this computer's buses and pins.</summary>
    /// <exception cref="GpioChipException">The chip, or one of the lines, cannot be had.</exception>
    /// <exception cref="IOException">The I2C bus cannot be opened.</exception>
    public static StationDevices OnBoard(Sensors sensors)
    {
        var controller = GpioChips.Open(sensors.GpioChipLabel, sensors.GpioLibrary, out var description);
        I2cBus? bus = null;
        try
        {
            bus = OpenBus(sensors.I2cBus);
            return new StationDevices(
                sensors, bus, controller, new SysfsOneWire(sensors.OneWireRoot), Uptime,
                $"{description}; I2C bus {sensors.I2cBus}; 1-wire under {sensors.OneWireRoot}");
        }
        catch
        {
            bus?.Dispose();
            controller.Dispose();
            throw;
        }
    }

    /// <summary>The same drivers on the simulated rig's bus, pins and 1-wire.</summary>
    public static StationDevices OnRig(Sensors sensors, SimulatedRig rig) =>
        OnRig(sensors, rig, rig.Pins);

    /// <summary>The same, with somebody between the drivers and the rig's pins who watches or disturbs them.</summary>
    internal static StationDevices OnRig(Sensors sensors, SimulatedRig rig, GpioDriver pins) =>
        new(sensors, rig.Bus, new GpioController(pins), rig.Wire, () => rig.WireTime, rig.Description);

    /// <summary>
    /// Reads both conductivity probes, scale, level, light and one thermometer into <paramref name="latest"/>. The thermometers take turns, since each
    /// takes up to 0.75 s on a computer; the very first call reads both. The sample of the other keeps its own time.
    /// </summary>
    public void ReadProbes(MonotonicTime now, ref RawSamples latest)
    {
        latest[Channel.VesselConductivity] = _vesselConductivity.Read(now);
        if (_tankConductivity is not null)
        {
            latest[Channel.TankConductivity] = _tankConductivity.Read(now);
        }

        if (_loadCell is not null)
        {
            latest[Channel.Mass] = _loadCell.Read(now);
        }

        if (_level is not null)
        {
            latest[Channel.Level] = _level.Read(now);
        }

        if (_light is not null)
        {
            latest[Channel.TankLight] = _light.Read(now);
        }

        if (!_tankThermometerIsNext)
        {
            latest[Channel.VesselTemperature] = _vesselThermometer.Read(now);
        }

        if (_tankThermometer is not null && (_tankThermometerIsNext || !_bothThermometersRead))
        {
            latest[Channel.TankTemperature] = _tankThermometer.Read(now);
        }

        _tankThermometerIsNext = _tankThermometer is not null && _bothThermometersRead && !_tankThermometerIsNext;
        _bothThermometersRead = true;
    }

    /// <summary>Reads the levels of the fitted switches into <paramref name="latest"/>; not debounced. The drop counter's line is looked at beside its edges.</summary>
    public void PollSwitches(MonotonicTime now, ref RawSamples latest)
    {
        Poll(_floatLow, Channel.FloatLow, now, ref latest);
        Poll(_floatHigh, Channel.FloatHigh, now, ref latest);
        Poll(_leak, Channel.Leak, now, ref latest);
        _drops?.Look();
    }

    /// <summary>
    /// The drops since the last call. Call it once a cycle and give that cycle the answer, so that each drop is in one sample and one alone.
    /// </summary>
    public RawSample TakeDrops(MonotonicTime now) => _drops?.Read(now) ?? RawSample.Missing(Reason.NotFitted, default);

    /// <summary>Drives the valve's line low first, then lets everything go; what can not be let go keeps nothing else from it, and the first such failure is thrown in the end.</summary>
    public void Dispose()
    {
        if (_disposed)
        {
            return;
        }

        _disposed = true;
        ExceptionDispatchInfo? first = null;
        foreach (var device in (IDisposable?[])[Valve, _floatLow, _floatHigh, _leak, _drops, _loadCell, _light, .. _adcs.Values, _bus, _controller])
        {
            try
            {
                device?.Dispose();
            }
            catch (Exception failure)
            {
                first ??= ExceptionDispatchInfo.Capture(failure);
            }
        }

        first?.Throw();
    }

    private static I2cBus OpenBus(int number)
    {
        try
        {
            return I2cBus.Create(number);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new IOException(
                $"sensors.i2cBus {number} cannot be opened: {failure.Message} Is I2C switched on (a Raspberry Pi: dtparam=i2c_arm=on in /boot/firmware/config.txt), and the module i2c-dev loaded (a line in /etc/modules-load.d; start the service anew afterwards)? The user must be in the group i2c.", failure);
        }
    }

    private static void Poll(SwitchInput? input, Channel channel, MonotonicTime now, ref RawSamples latest)
    {
        if (input is not null)
        {
            latest[channel] = input.Read(now);
        }
    }

    private static MonotonicTime Uptime() => MonotonicTime.FromSeconds((double)Stopwatch.GetTimestamp() / Stopwatch.Frequency);

    private ConductivityProbe Probe(ConductivityInput input) => new(AdcAt(input.AdcAddress), input);

    private Adc AdcAt(int address)
    {
        if (!_adcs.TryGetValue(address, out var adc))
        {
            adc = new Adc(_bus.CreateDevice(address));
            _adcs.Add(address, adc);
        }

        return adc;
    }

    private SwitchInput? Switch(string key, int? line) =>
        line is { } fitted ? Take(key, fitted, taken => new SwitchInput(_controller, taken)) : null;

    private static T Take<T>(string key, int line, Func<int, T> take)
    {
        try
        {
            return take(line);
        }
        catch (Exception failure) when (failure is GpiodException or IOException or ArgumentException or InvalidOperationException)
        {
            throw new GpioChipException(
                $"sensors.{char.ToLowerInvariant(key[0])}{key[1..]} {line} cannot be used: {failure.Message} "
                + "The line may be beyond the chip's last, or held by another program (gpioinfo tells).",
                failure);
        }
    }
}
