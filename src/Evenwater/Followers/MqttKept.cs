using Evenwater.Core.Alarms;
using Evenwater.Log;
using Microsoft.Data.Sqlite;
using MQTTnet;

namespace Evenwater.Followers;

/// <summary>What the broker keeps of one station (its alarms, sentence and forecast): told anew at each connection, and never an older one after a newer.</summary>
/// <param name="log">What is told.</param>
/// <param name="station">Whose.</param>
/// <param name="messages">How it is worded.</param>
/// <param name="faults">Told of what can not be read.</param>
internal sealed class MqttKept(NightLog log, string station, MqttMessages messages, MqttFaults faults)
{
    /// <summary>
    /// A call that the broker has acknowledged is not told anew within this at another connection, unless the broker has forgotten our session: a line that comes and goes would ring all
    /// night. Afterwards it is, since a broker that crashed may have lost it. As often as a critical alarm calls that nobody has seen.
    /// </summary>
    private static readonly TimeSpan CallsAgain = TimeSpan.FromMinutes(10);

    private readonly Dictionary<string, long> _current = [];
    private readonly Dictionary<string, (long Id, long At)> _called = [];

    /// <summary>The state that the broker is to keep, first of all and again at each connection: a broker that crashed may have lost it.</summary>
    /// <param name="flight">The connection.</param>
    /// <param name="told">The last entry that the broker has acknowledged of all but readings.</param>
    /// <param name="remembered">Whether the broker still knows our session.</param>
    /// <param name="lost">The end of the connection.</param>
    public async Task PublishAsync(MqttFlight flight, long told, bool remembered, CancellationToken lost)
    {
        if (Current() is not { } current)
        {
            return;
        }

        foreach (var entry in current)
        {
            if (Messages(entry, current: true).FirstOrDefault(kept => kept.Retain) is { } message && !(remembered && HasJustCalled(entry, told)))
            {
                await flight.PublishAsync(message, lost);
                _current[MqttMessages.CurrentTopic(entry)!] = entry.Id;
                Calls(entry);
            }
        }

        // An earlier life may have told of its log past it, and ended before it could be written again; and of a log that was set aside, or that somebody moved away, the broker keeps every alarm: of this one nothing was told yet.
        foreach (var row in AlarmTable.All.Where(row => !_current.ContainsKey(MqttMessages.TopicOf(row.Name)) && (row.Id == AlarmId.LogLost ? log.Commits : log.BegunAnew is not null || told == 0)))
        {
            await flight.PublishAsync(messages.NotStanding(row), lost);
        }

        if (!_current.ContainsKey("forecast"))
        {
            await flight.PublishAsync(messages.NoForecast(null), lost);
        }
    }

    /// <summary>The messages of an entry whose turn has come, and none of one that is no longer what was written, since that must not hold up what comes after it.</summary>
    public IEnumerable<MqttApplicationMessage> Messages(Entry entry, bool current = false)
    {
        try
        {
            if (entry.Spoilt)
            {
                throw new InvalidDataException("its date or its clock is none");
            }

            var topic = MqttMessages.CurrentTopic(entry);
            var newest = topic is null ? 0 : _current.GetValueOrDefault(topic);
            var superseded = !current && (newest > entry.Id || (newest == entry.Id && entry.Kind == EntryKind.Alarm));
            if (!current && !superseded)
            {
                Calls(entry);
            }

            return [.. messages.Of(entry, log.Reader.Configuration(entry.ConfigurationId), superseded)];
        }
        catch (Exception e) when (OtherBytes.Made(e))
        {
            faults.Unread($"entry {entry.Id}", e);
            return [];
        }
    }

    private void Calls(Entry entry)
    {
        if (entry.Kind == EntryKind.Alarm && LogJson.Read<AlarmBody>(entry.Body!) is { Calls: true } alarm)
        {
            _called[MqttMessages.TopicOf(alarm.Name)] = (entry.Id, Environment.TickCount64);
        }
    }

    /// <summary>Whether the broker has acknowledged this call, not long ago.</summary>
    private bool HasJustCalled(Entry entry, long told) =>
        entry.Kind == EntryKind.Alarm && MqttMessages.CurrentTopic(entry) is { } topic
        && _called.TryGetValue(topic, out var called) && called.Id == entry.Id && Environment.TickCount64 - called.At < CallsAgain.TotalMilliseconds
        && (entry.Id <= told || _current.GetValueOrDefault(topic) == entry.Id);

    private List<Entry>? Current()
    {
        try
        {
            var (forecast, run) = (log.Reader.Last(station, EntryKind.Forecast), log.Reader.Last(station, EntryKind.Run));
            var over = run is not null && run.Id > (forecast?.Id ?? 0) && EntryBodies.AreWhole(run) && MqttMessages.EndsRun(run);
            return [.. log.Reader.Alarms(station).Append(log.Reader.Last(station, EntryKind.Say)).Append(over ? run : forecast).OfType<Entry>()];
        }
        catch (SqliteException e)
        {
            faults.Unread("how the alarms stand", e);
            return null;
        }
    }
}
