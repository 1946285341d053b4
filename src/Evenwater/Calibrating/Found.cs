using Evenwater.Core.Calibration;

namespace Evenwater.Calibrating;

/// <summary>What a guided calibration came to, before the keeper has agreed to it.</summary>
/// <param name="Values">What it would set; none where it was only looked.</param>
/// <param name="Note">With what, and what was seen, for the book.</param>
internal sealed record Found(IReadOnlyList<CalibratedValue> Values, string Note)
{
    /// <summary>What a check of the drift found.</summary>
    public DriftFound? Drift { get; init; }
}
