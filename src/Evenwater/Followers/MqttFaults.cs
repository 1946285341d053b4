using Evenwater.Log;
using Evenwater.Log.Blocks;
using Evenwater.Running;
using MQTTnet;
using MQTTnet.Protocol;

namespace Evenwater.Followers;

/// <summary>Says what one station's broker is not told or does not let through, each thing once: in the service's journal, and as an event in the log.</summary>
/// <param name="log">What is told.</param>
/// <param name="station">Whose.</param>
/// <param name="options">The broker.</param>
/// <param name="filter">What is read there.</param>
/// <param name="record">Keeps what is said.</param>
/// <param name="logger">The journal.</param>
internal sealed class MqttFaults(NightLog log, string station, MqttOptions options, string filter, Action<EventBody> record, ILogger logger)
{
    private const int MostReasons = 5;

    /// <summary>So many closings without a reason, one soon after the other, are no chance: a broker that starts again lets us stay. Our own choice.</summary>
    private const int Silently = 3;

    private readonly HashSet<string> _reasons = [];
    private readonly HashSet<string> _unread = [];
    private bool _unheardTold;
    private bool _refusalTold;
    private bool _takenTold;
    private int _silentClosings;

    /// <summary>Each reason once until all is well again, the first of the start too.</summary>
    public void Warn(string reason)
    {
        if (_reasons.Count < MostReasons && _reasons.Add(reason))
        {
            logger.LogWarning("nothing is told to the MQTT broker {Host}:{Port} ({Reason}); the log keeps all until it can be", options.Host, options.Port, reason);
        }
    }

    /// <summary>The broker refuses until a person changes something: an event, once until all is well again.</summary>
    public void Refuse(string reason)
    {
        if (!_refusalTold)
        {
            _refusalTold = true;
            record(new EventBody(MqttFollower.NotTold, $"The MQTT broker {options.Host}:{options.Port} refuses this daemon ({reason.TrimEnd()}). What it refuses and what comes after is not told there, and an alarm may reach nobody; the log keeps it until it can be told. "
                + "Put right mqtt.user and mqtt.passwordFile, or what the broker lets the daemon's user write."));
        }
    }

    /// <summary>
    /// The broker has let us in and ended the connection: why, in words; null when it is not known. Another program that signs in under our name, as one with a copy of our log does, ends our connection and we end its;
    /// some brokers say so, some only close.
    /// </summary>
    public string? Closed(string name, MqttClientDisconnectReason reason)
    {
        var said = reason == MqttClientDisconnectReason.SessionTakenOver;
        if (!said && reason != MqttClientDisconnectReason.NormalDisconnection)
        {
            return null;
        }

        _silentClosings += said ? 0 : 1;
        if (!_takenTold && (said || _silentClosings >= Silently))
        {
            _takenTold = true;
            record(new EventBody("name-taken", (said
                    ? $"Another program has signed in to the MQTT broker {options.Host}:{options.Port} under the name of this one, {name}"
                    : $"The MQTT broker {options.Host}:{options.Port} let this program in and closed the connection without a reason, {Silently} times one soon after the other: most likely another program signs in under the same name, {name}")
                + ". Each ends the other's connection, and what is told there may be told by either. A copy of this log's folder on another computer does that. Stop one of the two; if both are to run, give the other's station another name, and have it begin a log of its own."));
        }

        return said ? $"another program has signed in under our name, {name}" : $"it closed the connection without a reason, as when another program signs in under our name, {name}";
    }

    /// <summary>A connection was there for long.</summary>
    public void Lasted() => (_silentClosings, _takenTold) = (0, false);

    /// <summary>All is told again.</summary>
    public void AllIsWell()
    {
        _refusalTold = false;
        if (_reasons.Count > 0)
        {
            _reasons.Clear();
            logger.LogInformation("the MQTT broker {Host}:{Port} is told again", options.Host, options.Port);
        }
    }

    /// <summary>A broker may take all that is told and let no ask through: who trusts in a close from afar must know.</summary>
    public void Hear(MqttClientSubscribeResult granted)
    {
        if (!_unheardTold && granted.Items.FirstOrDefault(i => i.ResultCode > MqttClientSubscribeResultCode.GrantedQoS2) is { } refused)
        {
            _unheardTold = true;
            var text = $"The MQTT broker {options.Host}:{options.Port} does not let this daemon read {filter} ({refused.ResultCode}): nothing that is asked over MQTT is heard, not even a close. "
                + "All else is told. Give the daemon's user the right to read there.";
            logger.LogWarning("{Text}", text);
            record(new EventBody("ask-unheard", text));
        }
    }

    /// <summary>Readings had to make room before they were told.</summary>
    public void Gone(long from, long to)
    {
        var text = $"Readings between entries {from} and {to} had to make room in the log before the MQTT broker {options.Host}:{options.Port} had them. They will never be told; their minutes stand in the history here. "
            + "Give the log more room (store.budgetMegabytes, or the disk), or see that the broker is not away for so long.";
        logger.LogWarning("{Text}", text);
        record(new EventBody(MqttFollower.NotTold, text));
    }

    /// <summary>Readings of this station can not be read any more.</summary>
    public void Damaged(BlockRow row)
    {
        if (log.Reader.StationOf(row.ConfigurationId) == station)
        {
            Unread($"what was read between entries {row.FirstId} and {row.LastId}", null);
        }
    }

    /// <summary>Something in the log can not be read any more.</summary>
    public void Unread(string what, Exception? e)
    {
        if (_unread.Count < MostReasons && _unread.Add(what))
        {
            var text = $"The log is damaged: {what} can not be read{(e is null ? "" : $" ({e.Message})")} and is not told over MQTT. All else is. Put the log on another card: stop the program, and keep the file.";
            logger.LogWarning("{Text}", text);
            record(new EventBody(MqttFollower.NotTold, text));
        }
    }
}
