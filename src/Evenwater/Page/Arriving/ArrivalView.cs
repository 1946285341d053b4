using Evenwater.Core.Keeping;

namespace Evenwater.Page.Arriving;

/// <summary>All that the arrival page shows, besides its visit.</summary>
public sealed record ArrivalView
{
    /// <summary>The whole book.</summary>
    public required Book Book { get; init; }

    /// <summary>This place's clock.</summary>
    public required TimeZoneInfo Zone { get; init; }

    /// <summary>What the station's clock says.</summary>
    public required DateTimeOffset Now { get; init; }

    /// <summary>What is being corrected; null for new ones.</summary>
    public Note? Editing { get; init; }

    /// <summary>Whether what was refused is the form of how they are, and not that of what came.</summary>
    public bool OutcomeRefused { get; init; }

    /// <summary>Every arrival, newest first.</summary>
    public IReadOnlyList<Came> All => [.. Arrivals.Of(Book).Reverse()];
}
