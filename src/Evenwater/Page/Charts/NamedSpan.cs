namespace Evenwater.Page.Charts;

/// <summary>A span by its name: how long it is; it ends now.</summary>
/// <param name="Name">In an address.</param>
/// <param name="Shown">In the form.</param>
/// <param name="Length">How long.</param>
public sealed record NamedSpan(string Name, string Shown, TimeSpan Length)
{
    /// <summary>A span that is told by its two ends.</summary>
    public const string Own = "own";

    /// <summary>From the shortest on. A night is 14 hours: a drip of the evening is over by the next morning.</summary>
    public static IReadOnlyList<NamedSpan> All { get; } =
    [
        new("hour", "the last hour", TimeSpan.FromHours(1)),
        new("night", "the last night (14 hours)", TimeSpan.FromHours(14)),
        new("day", "the last day", TimeSpan.FromDays(1)),
        new("week", "the last week", TimeSpan.FromDays(7)),
        new("month", "the last month (30 days)", TimeSpan.FromDays(30)),
        new("year", "the last year (365 days)", TimeSpan.FromDays(365)),
    ];

    /// <summary>What a span may be compared with: the name, the words, and how much earlier it is; null: its own length.</summary>
    public static IReadOnlyList<(string Name, string Shown, TimeSpan? Earlier)> Earlier { get; } =
    [
        ("before", "the same length right before", null),
        ("day", "a day earlier", TimeSpan.FromDays(1)),
        ("week", "a week earlier", TimeSpan.FromDays(7)),
        ("year", "a year earlier (364 days, the same weekday)", TimeSpan.FromDays(364)),
    ];

    /// <summary>The span of that name; null when there is none.</summary>
    public static NamedSpan? Of(string name) => All.FirstOrDefault(span => span.Name == name);
}
