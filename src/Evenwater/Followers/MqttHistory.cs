using Evenwater.Core.Telling;
using Evenwater.Log;

namespace Evenwater.Followers;

/// <summary>
/// Tells events once more to somebody who asks since a number, because a broker that crashes may lose what it has acknowledged. One asker at a time, and
/// page by page, so that it holds up neither a close nor an alarm. What a worn card has spoilt is left out, as it is when its turn comes (<see cref="MqttKept"/>).
/// </summary>
/// <param name="log">Where they are read.</param>
/// <param name="station">Whose.</param>
/// <param name="messages">How they are told.</param>
internal sealed class MqttHistory(NightLog log, string station, MqttMessages messages)
{
    /// <summary>Events in one answer. Our own choice: some 30 kB, which simple clients take.</summary>
    public const int Page = 50;

    /// <summary>Answers to one ask; who wants more asks again. Our own choice: 10,000 events, more than a year of quiet nights.</summary>
    public const int MostPages = 200;

    private Task _telling = Task.CompletedTask;

    /// <summary>Begins to tell; gives why not, or null.</summary>
    /// <param name="since">The last number that the asker has.</param>
    /// <param name="topic">Where to answer.</param>
    /// <param name="correlation">What the asker knows its question by.</param>
    /// <param name="flight">The connection.</param>
    /// <param name="failed">Told when it breaks off.</param>
    /// <param name="lost">Ends with the connection.</param>
    public string? Begin(long since, string topic, byte[]? correlation, MqttFlight flight, Action<Exception> failed, CancellationToken lost)
    {
        if (!_telling.IsCompleted)
        {
            return "ask/events: another ask for events is being answered; ask again when it is";
        }

        if (since > log.LastId)
        {
            return $"ask/events: payload.since: {since}; allowed: 0 to {log.LastId}, the log's last entry. Where the events' source is another than yours the log is a new one: ask since 0";
        }

        _telling = TellAsync(since, topic, correlation, flight, lost).ContinueWith(
            t => failed(t.Exception!.InnerException!), CancellationToken.None, TaskContinuationOptions.OnlyOnFaulted, TaskScheduler.Default);
        return null;
    }

    private async Task TellAsync(long since, string topic, byte[]? correlation, MqttFlight flight, CancellationToken lost)
    {
        await Task.Yield();
        var told = 0;
        using var events = Since(since, log.LastId).GetEnumerator();
        var page = new List<Entry>(Page);
        var left = events.MoveNext();
        for (var pages = 1; ; pages++)
        {
            for (page.Clear(); left && page.Count < Page; left = events.MoveNext())
            {
                page.Add(events.Current);
            }

            told += page.Count;
            var next = page.Count > 0 ? page[^1].Id : since;
            var more = left && pages < MostPages;
            var text = more ? $"{HowMany.Of(page.Count, "event")}, and more follow"
                : left ? $"{HowMany.Of(told, "event")} in all; there are more: ask since {next}"
                : $"{HowMany.Of(told, "event")} in all; there are no more";
            await flight.PublishAsync(messages.Events(topic, correlation, page, next, more, text), lost);
            if (!more)
            {
                return;
            }

            since = next;
        }
    }

    private IEnumerable<Entry> Since(long since, long last)
    {
        while (log.Reader.Read(since, 500, cycles: false) is { Count: > 0 } page)
        {
            foreach (var entry in page.Where(e => e.Station == station && MqttMessages.IsEvent(e) && EntryBodies.AreWhole(e)))
            {
                if (entry.Id > last)
                {
                    yield break;
                }

                yield return entry;
            }

            since = page[^1].Id;
        }
    }
}
