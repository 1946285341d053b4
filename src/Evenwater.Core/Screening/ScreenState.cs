using System.Runtime.CompilerServices;

namespace Evenwater.Core.Screening;

/// <summary>What screening remembers of one channel.</summary>
public struct ChannelMemory
{
    /// <summary>The last value that was let through.</summary>
    public double Accepted;

    /// <summary>Whether there is one.</summary>
    public bool HasAccepted;

    /// <summary>The last value seen, whatever became of it.</summary>
    public double Seen;

    /// <summary>When that value was first seen without change.</summary>
    public MonotonicTime SameSince;

    /// <summary>When the last sample was taken.</summary>
    public MonotonicTime TakenAt;

    /// <summary>How many samples in a row were the same.</summary>
    public int SameCount;

    /// <summary>How many in a row usually were the same before it moved; what stood still for long counts no more than what is called stuck.</summary>
    public double UsualRun;

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
