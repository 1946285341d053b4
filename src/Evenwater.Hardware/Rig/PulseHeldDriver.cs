using Evenwater.Core;

namespace Evenwater.Hardware.Rig;

/// <summary>
/// The circuit between the pin and the coil: each toggle of the line gives it enough to hold the coil for two seconds more.
/// A line that stands still, high or low, lets the valve close.
/// </summary>
internal sealed class PulseHeldDriver
{
    /// <summary>How long the coil holds after a toggle, s.</summary>
    public const double HoldSeconds = 2;

    private MonotonicTime? _lastToggle;
    private bool _high;

    /// <summary>Whether it is bridged: a high line holds the coil without pulses.</summary>
    public bool Bridged { get; set; }

    /// <summary>Whether it conducts whatever the line does.</summary>
    public bool StuckOn { get; set; }

    /// <summary>Whether a hand keeps the current from the coil: its plug is pulled, or the float in its supply is lifted.</summary>
    public bool Cut { get; set; }

    /// <summary>Whether a wet float in the coil's supply, or something broken, keeps the current from it.</summary>
    public bool Starved { get; set; }

    private bool Held => StuckOn || (Bridged && _high);

    /// <summary>A pulse that is not the program's.</summary>
    public void Feed(MonotonicTime now) => _lastToggle = now;

    public void Write(bool high, MonotonicTime now)
    {
        if (high != _high)
        {
            _high = high;
            _lastToggle = now;
        }
    }

    public bool IsOpen(MonotonicTime now) => !Cut && !Starved && (Held || (_lastToggle is { } toggle && now.SecondsSince(toggle) < HoldSeconds));

    /// <summary>Share of a span in which the coil holds, 0 to 1.</summary>
    public double OpenShare(MonotonicTime from, double seconds) =>
        Cut || Starved ? 0 : Held ? 1 : _lastToggle is { } toggle ? Math.Clamp(toggle.Plus(HoldSeconds).SecondsSince(from) / seconds, 0, 1) : 0;
}
