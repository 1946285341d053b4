using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>
/// When a station's weekly test calls: on the first day that is seven days or more after the last, from its hour on, once a local date. What was
/// missed while the program was stopped is made up for after the next start; what a drip or another alarm held up, at the hour of a later day, since
/// a drip may end in the middle of the night. Without a date there is no week: while the computer's clock was never set, nothing calls.
/// </summary>
internal sealed class WeeklyTestCall(StationState state, Recorder recorder, StationClock clock)
{
    /// <summary>Name of the event that it leaves in the log.</summary>
    public const string EventName = "weekly-test";

    /// <summary>So long it stands, s. Common practice, no source.</summary>
    public const double StandsSeconds = 600;

    /// <summary>So long after a start the alarms of the start itself may come first, s: twice the longest delay of most of them.</summary>
    public const double SettleSeconds = 120;

    /// <summary>So long from its hour on it may begin, h: what a clock is put forward by, and time enough for an alarm to be seen.</summary>
    public const int WindowHours = 3;

    private const int EveryDays = 7;

    private bool _recalled;
    private DateTimeOffset? _last;
    private MonotonicTime? _since;
    private MonotonicTime? _datedSince;
    private bool _looked;

    /// <summary>Takes over from the log when it was last.</summary>
    public void Recall(LogReader log) => (_last, _recalled) = (log.LastEventEntry(state.Station.Name, EventName)?.Wall, true);

    /// <summary>Whether it is to stand in this cycle.</summary>
    public bool Calls(MonotonicTime now)
    {
        var missed = WasMissed(now);
        if (_since is { } since)
        {
            _since = now.SecondsSince(since) < StandsSeconds && MayStand() ? since : null;
        }
        else if ((missed || IsItsHour(now)) && state.AlarmOf(AlarmId.WeeklyTest).Standing == AlarmStanding.Normal && MayStand())
        {
            _since = now;
        }

        return _since is not null;
    }

    /// <summary>After each turn: what has called is an event, and the last.</summary>
    public void Turn(in EffectBuffer effects, MonotonicTime now)
    {
        foreach (ref readonly var effect in effects)
        {
            if (effect is { Kind: EffectKind.AlarmChanged, Alarm: AlarmId.WeeklyTest, Calls: true })
            {
                _last = clock.WallAt(now);
                recorder.Event(EventName, "The weekly test of the alarms called; nothing is wrong. It comes again in seven days.", state, now);
            }
        }
    }

    /// <summary>Nobody is called for a test while water runs or somebody has a real alarm to see to; nor when the log could not remember it.</summary>
    private bool MayStand()
    {
        if (!_recalled || !state.Station.WeeklyTest.Calls || clock.Speed > 1 || !recorder.Commits || state.Phase is Phase.Armed or Phase.Dripping)
        {
            return false;
        }

        foreach (var row in AlarmTable.All)
        {
            if (!row.IsTest && state.AlarmOf(row.Id).IsUnseen)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Whether it fell due while the program was stopped: said once after a start, as soon as there is a date and the start's own alarms had their time.</summary>
    private bool WasMissed(MonotonicTime now)
    {
        if (_looked || !_recalled || clock.WallAt(now) is not { } wall)
        {
            return false;
        }

        _datedSince ??= now;
        _looked = now.SecondsSince(_datedSince.Value) >= SettleSeconds;
        return _looked && DueFrom(wall) is { } from && wall.DateTime >= from;
    }

    private bool IsItsHour(MonotonicTime now)
    {
        if (clock.WallAt(now) is not { } wall)
        {
            return false;
        }

        var intoIt = wall.TimeOfDay - TimeSpan.FromHours(state.Station.WeeklyTest.AtHour);
        return intoIt >= TimeSpan.Zero && intoIt < TimeSpan.FromHours(WindowHours) && (DueFrom(wall) is not { } from || wall.DateTime >= from);
    }

    /// <summary>The local time from which it is due; null when there was none yet. A last one of the future is of a clock that was wrong, and must not put off the next for years.</summary>
    private DateTime? DueFrom(DateTimeOffset wall) => _last is { } last && clock.Local(last).Date is var day && day <= wall.Date
        ? day.AddDays(EveryDays).AddHours(state.Station.WeeklyTest.AtHour)
        : null;
}
