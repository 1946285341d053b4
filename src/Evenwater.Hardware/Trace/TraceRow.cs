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

/// <summary>Why a row of a trace was left out.</summary>
/// <param name="Line">Line of the file; the header is 1.</param>
/// <param name="Column">Name of the column.</param>
/// <param name="Text">What stands there.</param>
/// <param name="Allowed">What may stand there.</param>
public readonly record struct RejectedRow(long Line, string Column, string Text, string Allowed)
{
    /// <inheritdoc/>
    public override string ToString() => $"line {Line}, {Column}: '{Text}' is not {Allowed}";
}
