using System.Globalization;
using Evenwater.Core.Keeping;
using Evenwater.Keeping;

namespace Evenwater.Page.Journal;

/// <summary>What is looked for in a book.</summary>
public sealed record JournalFind
{
    /// <summary>Entries of one page.</summary>
    public const int PageLength = 20;

    private const int MostWords = 80;

    /// <summary>One kind alone; none for all.</summary>
    public NoteKind Kind { get; init; }

    /// <summary>From this time on.</summary>
    public DateTimeOffset? From { get; init; }

    /// <summary>Before this time.</summary>
    public DateTimeOffset? Until { get; init; }

    /// <summary>Words that must stand in it, letter case aside.</summary>
    public string Words { get; init; } = "";

    /// <summary>Whether what was taken back is shown too.</summary>
    public bool All { get; init; }

    /// <summary>Which page, from 1.</summary>
    public int Page { get; init; } = 1;

    /// <summary>Whether anything is left out of the book.</summary>
    public bool IsNarrow => Kind != NoteKind.None || From is not null || Until is not null || Words.Length > 0;

    /// <summary>Of an address.</summary>
    /// <param name="typed">Its fields.</param>
    /// <param name="zone">This place's clock.</param>
    internal static JournalFind Read(TypedForm typed, TimeZoneInfo zone)
    {
        var kind = NoteKinds.Named(typed.Text("kind"));
        if (kind == NoteKind.None && typed.Text("kind") is not null) typed.Refuse("kind", string.Join(", ", NoteKinds.All.Select(NoteKinds.Name)), "Choose one, or none.");
        if (typed.Text("words") is { Length: > MostWords }) typed.Refuse("words", $"up to {MostWords} characters", "Look for less.");
        var page = typed.Count("page", "a page's number, from 1");
        if (page is < 1) typed.Refuse("page", "a page's number, from 1", null);
        return new JournalFind
        {
            Kind = kind, From = Day("from", 0), Until = Day("to", 1), Words = typed.Text("words") is { Length: <= MostWords } words ? words : "", All = typed.Text("all") is not null, Page = Math.Max(1, page ?? 1),
        };

        DateTimeOffset? Day(string field, int later)
        {
            if (typed.Text(field) is not { } text) return null;
            if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day) && KeptTime.IsTold(day.Year)) return KeptTime.Begins(day.AddDays(later), zone);
            typed.Refuse(field, $"a day {KeptTime.Years}, such as 2026-03-14", "Write year, month and day.");
            return null;
        }
    }

    /// <summary>All that fits, newest first.</summary>
    public IReadOnlyList<Matter> In(Book book) =>
    [
        .. book.Matters
            .Where(matter => (All || !matter.Withdrawn) && (Kind == NoteKind.None || matter.Said.Kind == Kind))
            .Where(matter => (From is null || matter.Said.At >= From) && (Until is null || matter.Said.At < Until))
            .Where(matter => Words.Length == 0 || $"{NoteKinds.Name(matter.Said.Kind)} {BookText.Words(matter.Said)} {matter.Said.By} {matter.Said.Id}".Contains(Words, StringComparison.OrdinalIgnoreCase))
            .Reverse()
            .OrderByDescending(matter => matter.Said.At ?? DateTimeOffset.MaxValue),
    ];

    /// <summary>The last day of it, by this place's clock; null without an end.</summary>
    internal DateTimeOffset? LastDay(TimeZoneInfo zone) => Until is { } until ? TimeZoneInfo.ConvertTime(until.AddTicks(-1), zone) : null;

    /// <summary>The address of another page of the same.</summary>
    internal string Query(int page, TimeZoneInfo zone)
    {
        List<string> parts = [];
        if (Kind != NoteKind.None) parts.Add($"kind={NoteKinds.Name(Kind)}");
        if (From is { } from) parts.Add($"from={TimeZoneInfo.ConvertTime(from, zone):yyyy-MM-dd}");
        if (LastDay(zone) is { } last) parts.Add($"to={last:yyyy-MM-dd}");
        if (Words.Length > 0) parts.Add($"words={Uri.EscapeDataString(Words)}");
        if (All) parts.Add("all=1");
        if (page > 1) parts.Add($"page={page}");
        return parts.Count == 0 ? "" : $"?{string.Join('&', parts)}";
    }
}
