using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;

namespace Evenwater.Core;

/// <summary>A value in the channel's unit, or the reason there is none. Never NaN, never a stand-in 0.</summary>
public readonly record struct Reading
{
    private readonly double _value;

    private Reading(double value, Reason reason, MonotonicTime takenAt)
    {
        _value = value;
        Reason = reason;
        TakenAt = takenAt;
    }

    /// <summary>Why the value may not be used, or <see cref="Reason.None"/>.</summary>
    public Reason Reason { get; private init; }

    /// <summary>When the device was read.</summary>
    public MonotonicTime TakenAt { get; }

    /// <summary>The device's own integer behind the value; null for a reading that comes from a trace.</summary>
    public int? Code { get; init; }

    /// <summary>Whether there is a value to use.</summary>
    public bool IsGood => Reason == Reason.None;

    /// <summary>The value; only when <see cref="IsGood"/>.</summary>
    /// <exception cref="InvalidOperationException">There is no value.</exception>
    public double Value => IsGood ? _value : throw new InvalidOperationException($"no value: {Reason}");

    /// <summary>A finite value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The value is not finite.</exception>
    public static Reading Of(double value, MonotonicTime takenAt) => double.IsFinite(value)
        ? new Reading(value, Reason.None, takenAt)
        : throw new ArgumentOutOfRangeException(nameof(value), value, "a reading is finite; use Missing");

    /// <summary>No value, and why.</summary>
    public static Reading Missing(Reason reason, MonotonicTime takenAt) => new(0, reason, takenAt);

    /// <summary>The value, when there is one.</summary>
    public bool TryGet(out double value)
    {
        value = _value;
        return IsGood;
    }

    /// <summary>The same reading, no longer trusted.</summary>
    public Reading Because(Reason reason) => this with { Reason = reason };
}

/// <summary>The latest reading of every channel.</summary>
[InlineArray(Channels.Count)]
[SuppressMessage("Style", "IDE0044", Justification = "inline arrays have one writable field")]
public struct Readings
{
    private Reading _first;

    /// <summary>The reading of one channel.</summary>
    public Reading this[Channel channel]
    {
        readonly get => this[(int)channel];
        set => this[(int)channel] = value;
    }

    /// <summary>A set in which no probe is fitted.</summary>
    public static Readings None()
    {
        var readings = default(Readings);
        for (var i = 0; i < Channels.Count; i++)
        {
            readings[i] = Reading.Missing(Reason.NotFitted, default);
        }

        return readings;
    }
}
