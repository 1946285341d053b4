namespace Evenwater.Core.Alarms;

/// <summary>How much the alarms ask of their person.</summary>
/// <param name="LastDay">Calls in the last 24 h.</param>
/// <param name="WorstTenMinutes">The most calls in any ten minutes of those.</param>
/// <param name="Chattering">Alarms that called three times or more within a minute of those.</param>
/// <param name="Stale">Alarms that have been wrong for more than 24 h.</param>
/// <param name="Dropped">Calls that were too many to be kept, and are missing from the figures.</param>
public sealed record AlarmMeasures(int LastDay, int WorstTenMinutes, IReadOnlyList<AlarmId> Chattering, IReadOnlyList<AlarmId> Stale, long Dropped)
{
    /// <summary>More calls than this in ten minutes are a flood of alarms (ISA-18.2, quoted from memory; EEMUA 191 asks for no more in the first ten minutes of an upset).</summary>
    public const int MostInTenMinutes = 10;
}

/// <summary>
/// Keeps the calls of the last day, in order of time. Bounded: the oldest go first, and are counted. A test call is none: the figures tell how much trouble there is.
/// </summary>
public sealed class AlarmTally
{
    /// <summary>Most calls kept: one every two minutes all day.</summary>
    public const int Capacity = 720;

    private const double DaySeconds = 24 * 3600;
    private const double TenMinutesSeconds = 600;

    // Three in a minute: ISA-18.2's measure of chattering, quoted from memory.
    private const int Chatter = 3;
    private const double ChatterSeconds = 60;

    private readonly Queue<(MonotonicTime At, AlarmId Alarm)> _calls = new();

    /// <summary>Calls that were dropped although they are of the last day.</summary>
    public long Dropped { get; private set; }

    /// <summary>Adds a call.</summary>
    /// <param name="alarm">Whose.</param>
    /// <param name="at">When, not before the last.</param>
    public void Add(AlarmId alarm, MonotonicTime at)
    {
        if (AlarmTable.Of(alarm).IsTest)
        {
            return;
        }

        Forget(at);
        if (_calls.Count == Capacity)
        {
            _calls.Dequeue();
            Dropped++;
        }

        _calls.Enqueue((at, alarm));
    }

    /// <summary>The figures of the last day.</summary>
    public AlarmMeasures Measure(StationState state, MonotonicTime now)
    {
        Forget(now);
        var calls = _calls.ToArray();
        return new AlarmMeasures(
            calls.Length,
            Most([.. calls.Select(call => call.At)], TenMinutesSeconds),
            [.. calls.GroupBy(call => call.Alarm).Where(own => Most([.. own.Select(call => call.At)], ChatterSeconds) >= Chatter).Select(own => own.Key).Order()],
            [.. AlarmTable.All.Select(row => row.Id).Where(id => state.AlarmOf(id) is { Active: true } alarm && now.SecondsSince(alarm.ActiveSince) > DaySeconds)],
            Dropped);
    }

    private void Forget(MonotonicTime now)
    {
        while (_calls.TryPeek(out var first) && now.SecondsSince(first.At) > DaySeconds)
        {
            _calls.Dequeue();
            Dropped = 0; // those were older still
        }
    }

    /// <summary>The most instants in any window of this length; its start belongs to it, its end does not.</summary>
    private static int Most(MonotonicTime[] at, double seconds)
    {
        var (most, first) = (0, 0);
        for (var last = 0; last < at.Length; last++)
        {
            while (at[last].SecondsSince(at[first]) >= seconds)
            {
                first++;
            }

            most = Math.Max(most, last - first + 1);
        }

        return most;
    }
}
