using System.Diagnostics;
using Evenwater.Log;
using Evenwater.Log.Blocks;
using MQTTnet;

namespace Evenwater.Followers;

/// <summary>
/// One of the two lanes in which a station is told: readings, or everything else. Each has a cursor of its own, which moves only past what the broker has
/// acknowledged; within a lane the order of the log is kept.
/// </summary>
/// <param name="log">What is told.</param>
/// <param name="name">The name of its cursor.</param>
/// <param name="station">Whose entries are told; the others are passed over.</param>
/// <param name="cycles">Cycles alone, or all that are none.</param>
/// <param name="messages">The messages of an entry, in the order to send them.</param>
internal sealed class MqttLane(NightLog log, string name, string station, bool cycles, Func<Entry, IEnumerable<MqttApplicationMessage>> messages)
{
    private const int Page = 500;

    /// <summary>A page that takes longer is left where it stands, so that a new alarm waits no longer for it on a slow line. Our own choice: a quarter of the 2 s it may take.</summary>
    private static readonly TimeSpan LongestPage = TimeSpan.FromSeconds(0.5);

    private long _goneUpTo;

    /// <summary>Told of readings that had to make room before they were told: after which entry, up to which.</summary>
    public Action<long, long> Gone { get; init; } = (_, _) => { };

    /// <summary>Told of readings that can not be read any more, and are passed over; again for each page that they stand on.</summary>
    public Action<BlockRow> Damaged { get; init; } = _ => { };

    /// <summary>The last entry that needs no telling any more.</summary>
    public long Cursor => log.Cursor(name);

    /// <summary>Tells one page, or as much of it as there is time for.</summary>
    /// <returns>False when there was nothing to tell.</returns>
    public async Task<bool> TellPageAsync(MqttFlight flight, CancellationToken lost)
    {
        var (after, committed) = (Cursor, log.LastId);
        if (cycles && after > 0 && log.Reader.GoneUpTo() is var gone && gone > Math.Max(after, _goneUpTo))
        {
            Gone(Math.Max(after, _goneUpTo), gone);
            _goneUpTo = gone;
        }

        var damaged = new List<BlockRow>();
        var page = log.Reader.Read(after, Page, cycles, damaged);
        damaged.ForEach(Damaged);
        if (page.Count == 0)
        {
            // Whatever came up to here belongs to the other lane.
            if (committed > after)
            {
                log.MoveCursor(name, committed);
            }

            return false;
        }

        var started = Stopwatch.GetTimestamp();
        var flying = new Queue<(Task Acknowledged, long Id)>();
        foreach (var entry in page)
        {
            if (Stopwatch.GetElapsedTime(started) > LongestPage)
            {
                break;
            }

            if (entry.Station == station)
            {
                var sent = new List<Task>(2);
                foreach (var message in messages(entry))
                {
                    sent.Add(await flight.SendAsync(message, lost));
                }

                flying.Enqueue((sent.Count == 1 ? sent[0] : Task.WhenAll(sent), entry.Id));
            }
            else
            {
                flying.Enqueue((Task.CompletedTask, entry.Id));
            }

            while (flying.TryPeek(out var first) && (first.Acknowledged.IsCompleted || flying.Count > MqttFlight.Most))
            {
                await LandAsync(flying);
            }
        }

        while (flying.Count > 0)
        {
            await LandAsync(flying);
        }

        return true;
    }

    private async Task LandAsync(Queue<(Task Acknowledged, long Id)> flying)
    {
        var (acknowledged, id) = flying.Dequeue();
        await acknowledged;
        log.MoveCursor(name, id);
    }
}
