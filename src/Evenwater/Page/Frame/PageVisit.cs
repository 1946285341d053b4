using Evenwater.Page.Access;

namespace Evenwater.Page.Frame;

/// <summary>What every page is given of the visit that asked for it.</summary>
public sealed record PageVisit
{
    /// <summary>The station it is about; null when it is about none, or all.</summary>
    public StationView? Station { get; init; }

    /// <summary>The names of all stations, in order.</summary>
    public IReadOnlyList<string> Stations { get; init; } = [];

    /// <summary>What every form of this visit must carry back; see <see cref="FormToken"/>.</summary>
    public string Token { get; init; } = "";

    /// <summary>Whether somebody is signed in, who may sign out.</summary>
    public bool SignedIn { get; init; }

    /// <summary>What was typed, by field: shown again when a form was refused.</summary>
    public IReadOnlyDictionary<string, string> Kept { get; init; } = new Dictionary<string, string>();

    /// <summary>The fields that were refused, and why.</summary>
    public IReadOnlyList<FieldRefusal> Refused { get; init; } = [];

    /// <summary>What came of what was asked, in a sentence.</summary>
    public string? Answer { get; init; }

    /// <summary>What the field is to hold: what was typed, or else this.</summary>
    public string? Held(string field, string? otherwise) => Kept.TryGetValue(field, out var typed) ? typed : otherwise;

    /// <summary>The visit of this request.</summary>
    /// <param name="http">The request.</param>
    /// <param name="station">The station its page is about.</param>
    internal static PageVisit Of(HttpContext http, StationView? station = null)
    {
        var access = http.RequestServices.GetRequiredService<PageAccess>();
        return new PageVisit
        {
            Station = station,
            Stations = access.Knows(http) ? [.. http.RequestServices.GetRequiredService<StationBoard>().All().Select(p => p.View.Name).Order(StringComparer.Ordinal)] : [],
            Token = access.TokenOf(http).Masked(),
            SignedIn = PageAccess.SessionOf(http) is not null,
        };
    }
}
