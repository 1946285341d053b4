using Evenwater.Core;

namespace Evenwater.Hardware.Trace;

/// <summary>One row of a trace.</summary>
/// <param name="Seconds">Seconds from the trace's own zero.</param>
/// <param name="Readings">What was read, calibrated and referred to 25 °C, taken at <paramref name="Seconds"/>.</param>
/// <param name="ValveOpen">The commanded position of the valve from this row on.</param>
public readonly record struct TraceRow(double Seconds, Readings Readings, bool ValveOpen)
{
    /// <summary>The row's instant.</summary>
    public MonotonicTime At => MonotonicTime.FromSeconds(Seconds);
}
