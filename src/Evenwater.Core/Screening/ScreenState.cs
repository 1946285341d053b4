using System.Runtime.CompilerServices;

namespace Evenwater.Core.Screening;

/// <summary>What screening remembers of one channel.</summary>
public struct ChannelMemory
{
    /// <summary>The last value that was let through.</summary>
    public double Accepted;

    /// <summary>Whether there is one.</summary>
    public bool HasAccepted;

    /// <summary>When it was taken.</summary>
    public MonotonicTime AcceptedAt;

    /// <summary>Whether another has agreed with it: before that nobody knows which of two that disagree is wrong.</summary>
    public bool Agreed;

    /// <summary>The last value seen, whatever became of it.</summary>
    public double Seen;

    /// <summary>When that value was first seen without change.</summary>
    public MonotonicTime SameSince;

    /// <summary>When the last sample was taken.</summary>
    public MonotonicTime TakenAt;

    /// <summary>How many samples in a row were the same.</summary>
    public int SameCount;

    /// <summary>How far it usually goes back, in the device's counts; 0 before it has.</summary>
    public double UsualMove;

    /// <summary>Which way it moved last: 1, -1, or 0 before it has.</summary>
    public int Way;

    /// <summary>Since when the value has stood away from the accepted one.</summary>
    public MonotonicTime AwaySince;

    /// <summary>Whether it stands away.</summary>
    public bool Away;

    /// <summary>Since when there has been no value of any use.</summary>
    public MonotonicTime SilentSince;

    /// <summary>Whether there is none.</summary>
    public bool Silent;
}

/// <summary>What screening remembers of all channels.</summary>
[InlineArray(Channels.Count)]
public struct ScreenState
{
    private ChannelMemory _first;
}
