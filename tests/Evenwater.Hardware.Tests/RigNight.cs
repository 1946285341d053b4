using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>A rig with its devices, and the loop that a program would run around it.</summary>
internal sealed class RigNight : IDisposable
{
    public RigNight(Station station, ulong seed, string[] faults, bool ideal = false, Layers layers = Layers.Usual)
    {
        Rig = new SimulatedRig(station, seed, [.. faults.Select(RigFault.Parse)], facts => ideal ? facts.Ideal() : facts, layers);
        Devices = StationDevices.OnRig(station.Sensors, Rig);
        Rig.Advance(default);
    }

    public SimulatedRig Rig { get; }

    public StationDevices Devices { get; }

    public RawSamples Latest = RawSamples.None();

    public double Seconds { get; private set; }

    public MonotonicTime Now => MonotonicTime.FromSeconds(Seconds);

    /// <summary>One second: time passes, everything is read, and the valve is held open or left alone.</summary>
    public void Second(bool open)
    {
        Seconds++;
        Rig.Advance(Now);
        Devices.ReadProbes(Now, ref Latest);
        Devices.PollSwitches(Now, ref Latest);
        if (open)
        {
            Devices.Valve.Renew(Now.Plus(3));
        }

        Devices.Valve.Pulse(Now);
        Devices.Valve.Pulse(Now);
    }

    /// <summary>Lets the night go on to an instant.</summary>
    public RigNight RunTo(double seconds, bool open = true)
    {
        while (Seconds < seconds)
        {
            Second(open);
        }

        return this;
    }

    public void Dispose() => Devices.Dispose();
}
