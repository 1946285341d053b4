using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Followers;

/// <summary>Somebody asks something of a station.</summary>
/// <param name="Station">Of which station.</param>
/// <param name="Verb">What.</param>
/// <param name="By">Who, as far as they say.</param>
/// <param name="Signed">With open: what was signed for.</param>
internal sealed record Ask(string Station, string Verb, string By, OpeningBudget? Signed = null)
{
    /// <summary>With note: what is to be written into the station's book.</summary>
    public Note? Note { get; init; }
}

/// <summary>What is to become of something that arrived.</summary>
/// <param name="Ask">To be done; or null.</param>
/// <param name="Problem">Why it is refused, or what was wrong with what is done all the same: to be answered.</param>
internal readonly record struct Judged(Ask? Ask, string? Problem)
{
    /// <summary>To be signed by who asked.</summary>
    public Challenge? Challenge { get; init; }

    /// <summary>Events after this number are to be told once more; or null.</summary>
    public long? Since { get; init; }

    /// <summary>To be neither done nor answered: one of a flood.</summary>
    public bool Unheard { get; init; }

    /// <summary>Events to be kept in the log.</summary>
    public IReadOnlyList<EventBody> Events { get; init; } = [];
}
