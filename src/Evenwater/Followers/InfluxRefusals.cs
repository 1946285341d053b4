using Evenwater.Core.Telling;
using Evenwater.Log;
using Evenwater.Log.Blocks;

namespace Evenwater.Followers;

/// <summary>Whom a follower tells of refusals.</summary>
/// <param name="Note">Puts an event of this text into the log, about this station.</param>
/// <param name="Alarm">The station at which the alarm stands; null for none.</param>
internal sealed record RefusalsTold(Action<string, string> Note, Action<string?> Alarm)
{
    /// <summary>Puts an event into the log about readings that will never be told: they had to make room before they were.</summary>
    public Action<string, string> Gap { get; init; } = (_, _) => { };

    /// <summary>At this station stands an alarm of it, for a while.</summary>
    public Action<string> Missed { get; init; } = _ => { };
}

/// <summary>
/// What the server would not have: each is set aside, told in one event a batch, and stands as one alarm for an hour after the last. Refused events
/// about refusals are counted only, or they would call forth each other.
/// </summary>
internal sealed class InfluxRefusals(RefusalsTold told, TimeSpan stands, TimeProvider time, ILogger logger)
{
    /// <summary>Name of the event.</summary>
    public const string EventName = "refused";

    private const int MostRanges = 20;
    private const int MostUnread = 5;

    private string? _station;
    private string? _deniedBecause;
    private long? _lastAt;
    private long _toldUpTo;
    private (long Count, long From, long To) _gap;
    private int _unread;
    private readonly HashSet<long> _unreadRows = [];
    private long _unreadUpTo;

    /// <summary>How many entries were set aside since the start.</summary>
    public long Count { get; private set; }

    /// <summary>These were refused for themselves.</summary>
    public void SetAside(IReadOnlyList<(Entry Entry, string Why)> refused)
    {
        _lastAt = time.GetTimestamp();
        refused = [.. refused.Where(r => r.Entry.Id > _toldUpTo)]; // What is sent again is refused again.
        if (refused.Count == 0)
        {
            return;
        }

        (Count, _toldUpTo) = (Count + refused.Count, refused[^1].Entry.Id);
        var worth = refused.Where(r => !IsOfOurs(r.Entry)).ToList();
        logger.LogWarning("InfluxDB refuses {Count} entries, {Numbers}: {Reason}", refused.Count, Ranges(refused), refused[0].Why);
        if (worth.Count == 0)
        {
            return;
        }

        _station ??= worth[0].Entry.Station;
        var reasons = worth.Select(r => r.Why).Distinct().Count();
        told.Note(worth[0].Entry.Station, $"{InfluxFollower.Name}: set aside, because the server refuses {(worth.Count == 1 ? "it" : "them")}: "
            + $"{(worth.Count == 1 ? "entry" : "entries")} {Ranges(worth)}. It says: {worth[0].Why}{(reasons > 1 ? $", and {HowMany.Of(reasons - 1, "more reason")}" : "")}");
    }

    /// <summary>
    /// A page of the log that was taken. Numbers are dense: what is missing had to make room before the server had it. Told once the gap is over, or a long one would be
    /// told page by page.
    /// </summary>
    /// <param name="after">The number after which the page was asked for.</param>
    /// <param name="page">The page, not empty.</param>
    public void Page(long after, IReadOnlyList<Entry> page)
    {
        var missing = page[^1].Id - after - page.Count;
        if (missing > 0 && page[^1].Id > _gap.To)
        {
            _gap = (_gap.Count + missing, _gap.Count == 0 ? after : _gap.From, page[^1].Id);
        }
        else if (missing == 0 && _gap.Count > 0)
        {
            told.Gap(page[^1].Station,
                $"{InfluxFollower.Name}: {HowMany.Of(_gap.Count, "reading")} between entries {_gap.From} and {_gap.To} had to make room in the log before the database had them. It will never have them; their minutes stand in the history here. "
                + "Give the log more room (store.budgetMegabytes, or the disk), or see that the database is not away for so long.");
            if (_gap.From > 0)
            {
                told.Missed(page[^1].Station); // a database that was taken in later was promised nothing of what was before it
            }

            _gap = (0, 0, _gap.To);
        }
    }

    /// <summary>Readings that are no longer what was written, told once each.</summary>
    public void Unread(BlockRow row, string station)
    {
        if (_unreadRows.Count < MostUnread && _unreadRows.Add(row.FirstId))
        {
            Damaged(station, $"readings between entries {row.FirstId} and {row.LastId} can not be read and are not sent");
        }
    }

    /// <summary>An entry that is no longer what was written. The first few are told: the log is damaged, and who knows that needs no list.</summary>
    public void Unread(Entry entry, string why)
    {
        if (entry.Id > _unreadUpTo && _unread++ < MostUnread)
        {
            _unreadUpTo = entry.Id; // What is sent again is read again.
            Damaged(entry.Station, $"entry {entry.Id} can not be read ({why}) and is not sent");
        }
    }

    private void Damaged(string station, string what)
    {
        var text = $"{InfluxFollower.Name}: the log is damaged: {what}. All else is. Put the log on another card: stop the program, and keep the file.";
        logger.LogWarning("{Text}", text);
        told.Gap(station, text);
        told.Missed(station);
    }

    /// <summary>The server lets nothing through; told once for each reason.</summary>
    public void Denied(string station, string why)
    {
        _station ??= station;
        if (_deniedBecause != why)
        {
            _deniedBecause = why;
            told.Note(station, $"{InfluxFollower.Name}: nothing is sent, the log keeps all of it. {why}");
        }
    }

    /// <summary>The server takes what it is sent.</summary>
    public void Taken() => _deniedBecause = null;

    /// <summary>Says where the alarm stands; often, since a station may have been started anew.</summary>
    public void Tell()
    {
        if (_deniedBecause is null && (_lastAt is not { } at || time.GetElapsedTime(at) >= stands))
        {
            _station = null;
        }

        told.Alarm(_station);
    }

    private static bool IsOfOurs(Entry entry) => entry is { Kind: EntryKind.Event, Body: { } body } && body.Contains($"\"name\":\"{EventName}\"", StringComparison.Ordinal); // it may be damaged

    private static string Ranges(IReadOnlyList<(Entry Entry, string Why)> refused)
    {
        var ranges = new List<(long First, long Last)>();
        foreach (var id in refused.Select(r => r.Entry.Id))
        {
            if (ranges.Count > 0 && ranges[^1].Last == id - 1)
            {
                ranges[^1] = (ranges[^1].First, id);
            }
            else
            {
                ranges.Add((id, id));
            }
        }

        var some = string.Join(", ", ranges.Take(MostRanges).Select(r => r.First == r.Last
            ? r.First.ToString()
            : $"{r.First} to {r.Last}"));
        return ranges.Count <= MostRanges ? some : $"{some} and others up to {ranges[^1].Last}, {refused.Count} in all";
    }
}
