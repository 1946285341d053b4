using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>The alarms as the log keeps them: written when they change, taken over again after a restart.</summary>
internal static class AlarmMemory
{
    private static readonly TimeSpan Longest = TimeSpan.FromDays(30);

    /// <summary>One alarm as it stands now.</summary>
    public static AlarmBody Body(AlarmId id, StationState state, bool calls, StationClock clock)
    {
        var (row, alarm) = (AlarmTable.Of(id), state.AlarmOf(id));
        var sentence = AlarmSentence.Of(row, alarm);
        var since = clock.WallAt(alarm.ActiveSince);
        return new AlarmBody(
            row.Name, alarm.Standing, row.Priority, row.Title, Which(id, state) + sentence.Did, sentence.Act,
            AlarmSentence.By(row, state) is { } by ? clock.WallAt(by) : null)
        {
            Calls = calls,
            UnseenCalls = calls && alarm.UnseenCalls > 1 ? alarm.UnseenCalls : null,
            Escalated = alarm.IsEscalated(row) ? true : null,
            Consequence = row.Consequence,
            Since = alarm.Active ? since : null,
            ShelvedUntil = alarm.Standing == AlarmStanding.Shelved ? clock.WallAt(alarm.ShelvedUntil) : null,
            Why = alarm.Standing is AlarmStanding.Shelved or AlarmStanding.OutOfService ? alarm.Why : null,
        };
    }

    /// <summary>The probes that are not believed, by name: who is woken must know where to look.</summary>
    private static string Which(AlarmId id, StationState state)
    {
        var readings = state.Readings;
        var named = Enumerable.Range(0, Channels.Count).Select(i => (Channel)i)
            .Where(c => id == AlarmId.ProbeTrouble && state.AlarmOf(id).Stands && !Channels.IsSwitch(c) && Channels.IsOfRun(c) && readings[c].Reason is not (Reason.None or Reason.NotFitted))
            .Select(c => $"{StatusText.Name(c)} ({Words.Of(readings[c].Reason)})");
        return string.Join(", ", named) is { Length: > 0 } which ? $"Not believed: {which}. " : "";
    }

    /// <summary>What an entry of the log says, or null when it is no longer what was written.</summary>
    public static AlarmBody? Read(Entry entry)
    {
        try
        {
            return LogJson.Read<AlarmBody>(entry.Body!);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    /// <summary>
    /// Takes over what the log says last of each alarm. What the replay of the run came to as well is left as it is, with its times; what it alone came to has called
    /// nobody, so it is to come again. A shelf whose end can not be told is over: in doubt a person is called.
    /// </summary>
    /// <param name="state">The station's memory.</param>
    /// <param name="last">The last entry of each of its alarms.</param>
    /// <param name="now">The station's time.</param>
    /// <param name="wall">What the wall clock says then; null when it says nothing.</param>
    /// <param name="asideAlone">Take over only what a person has put aside: the run is another one.</param>
    public static void TakeOver(StationState state, IEnumerable<Entry> last, MonotonicTime now, DateTimeOffset? wall, bool asideAlone = false)
    {
        var untold = asideAlone ? [] : AlarmTable.All.Where(row => state.AlarmOf(row.Id).Standing != AlarmStanding.Normal).Select(row => row.Id).ToHashSet();
        foreach (var entry in last)
        {
            if (Read(entry) is not { } body)
            {
                continue;
            }

            var aside = body.State is AlarmStanding.Shelved or AlarmStanding.OutOfService;
            if (AlarmTable.Named(body.Name) is not { } row || (asideAlone && !aside))
            {
                continue;
            }

            untold.Remove(row.Id);
            if (state.AlarmOf(row.Id).Standing != body.State)
            {
                state.Recall(row.Id, body.State, body.Since is not null, Past(body.Since), Past(entry.Wall), Before(body.ShelvedUntil, AlarmAsk.MostShelvedSeconds), body.Why, body.Calls ? body.UnseenCalls ?? 1 : 0);
            }
        }

        foreach (var id in untold)
        {
            state.Recall(id, AlarmStanding.Normal, active: false, now, now, now, null);
        }

        // A clock that is behind must not put what has happened before us: a flood that nobody has seen would not call again until then.
        MonotonicTime Past(DateTimeOffset? then) => Before(then, 0);

        MonotonicTime Before(DateTimeOffset? then, double mostAhead) => wall is { } at && then is { } when
            ? now.Plus(-Math.Clamp((at - when).TotalSeconds, -mostAhead, Longest.TotalSeconds))
            : now;
    }

    /// <summary>Counts the calls of the last day, which the log has kept, into the tally.</summary>
    public static void Count(AlarmTally tally, IEnumerable<Entry> entries, MonotonicTime now, DateTimeOffset wall)
    {
        foreach (var entry in entries)
        {
            if (Read(entry) is { Calls: true } body && AlarmTable.Named(body.Name) is { } row && entry.Wall <= wall)
            {
                tally.Add(row.Id, now.Plus((entry.Wall.Value - wall).TotalSeconds));
            }
        }
    }
}
