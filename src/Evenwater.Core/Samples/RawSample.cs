using System.Runtime.CompilerServices;

namespace Evenwater.Core;

/// <summary>What a driver read: the device's own integer, or the reason there is none, and when.</summary>
/// <param name="Code">The device's integer (see <see cref="Channel"/>); 0 when there is a reason.</param>
/// <param name="Reason">Why there is no reading, or <see cref="Reason.None"/>.</param>
/// <param name="TakenAt">When the device was read.</param>
public readonly record struct RawSample(int Code, Reason Reason, MonotonicTime TakenAt)
{
    /// <summary>A reading.</summary>
    public static RawSample Of(int code, MonotonicTime takenAt) => new(code, Reason.None, takenAt);

    /// <summary>No reading, and why.</summary>
    public static RawSample Missing(Reason reason, MonotonicTime takenAt) => new(0, reason, takenAt);
}

/// <summary>The latest raw sample of every channel.</summary>
[InlineArray(Channels.Count)]
public struct RawSamples
{
    private RawSample _first;

    /// <summary>The sample of one channel.</summary>
    public RawSample this[Channel channel]
    {
        readonly get => this[(int)channel];
        set => this[(int)channel] = value;
    }

    /// <summary>A set in which no probe is fitted.</summary>
    public static RawSamples None()
    {
        var samples = default(RawSamples);
        for (var i = 0; i < Channels.Count; i++)
        {
            samples[i] = RawSample.Missing(Reason.NotFitted, default);
        }

        return samples;
    }
}
