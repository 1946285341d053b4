using Evenwater.Core;

namespace Evenwater.Hardware.Rig;

/// <summary>From the line to the water: driver, float in the coil's supply, valve; with what is broken, and without what was taken away.</summary>
internal sealed class ValveCircuit(RigFacts facts, Faults faults, Layers layers)
{
    private readonly PulseHeldDriver _driver = new();
    private readonly SwitchModel _float = new(facts.SeriesFloatLitres);
    private bool _everOpen;

    /// <summary>Whether a hand keeps the current from the coil.</summary>
    public bool Cut
    {
        set => _driver.Cut = value;
    }

    /// <summary>The program writes its line.</summary>
    public void Write(bool high, MonotonicTime now) => _driver.Write(high, now);

    /// <summary>Whether the coil has its current.</summary>
    public bool IsOpen(MonotonicTime now) => _driver.IsOpen(now);

    /// <summary>The share of one step in which water passes the valve, 0 to 1.</summary>
    /// <param name="atSeconds">Seconds into the night at the step's start.</param>
    /// <param name="at">The same instant.</param>
    /// <param name="seconds">The step.</param>
    /// <param name="litres">Water in the vessel.</param>
    public double OpenShare(double atSeconds, MonotonicTime at, double seconds, double litres)
    {
        _driver.Bridged = faults.IsOn(FaultKind.DriverBridged, atSeconds) || !layers.HasFlag(Layers.Driver);
        _driver.StuckOn = faults.IsOn(FaultKind.DriverStuckOn, atSeconds);
        _float.Step(litres);
        _driver.Starved = faults.IsOn(FaultKind.CoilDead, atSeconds)
            || (layers.HasFlag(Layers.Float) && _float.Wet && !faults.IsOn(FaultKind.SeriesFloatDry, atSeconds));
        _everOpen |= _driver.IsOpen(at);
        if (faults.IsOn(FaultKind.PulsesOn, atSeconds) || (_everOpen && !layers.HasFlag(Layers.Program)))
        {
            _driver.Feed(at);
        }

        return _everOpen && !layers.HasFlag(Layers.Valve) ? 1 : _driver.OpenShare(at, seconds);
    }
}
