namespace Evenwater.Core.Alarms;

/// <summary>What is told of an alarm that stands so: what was done about it, and what the person should do.</summary>
/// <param name="Did">What the program did.</param>
/// <param name="Act">What the person should do.</param>
/// <param name="WithinMinutes">By when, min from <see cref="AlarmState.ActiveSince"/>; null when there is no hurry.</param>
public readonly record struct AlarmSentence(string Did, string Act, int? WithinMinutes)
{
    /// <summary>The sentence of an alarm.</summary>
    public static AlarmSentence Of(Alarm row, in AlarmState alarm) => alarm.Standing switch
    {
        AlarmStanding.Normal => new("It is gone.", "Nothing.", null),
        AlarmStanding.ReturnedUnacknowledged => new($"It is gone by itself. While it stood: {row.Did}", "Look whether all is well, then acknowledge it.", null),
        AlarmStanding.LatchedUnacknowledged or AlarmStanding.LatchedAcknowledged =>
            new($"{row.Did} Its cause is no longer seen; it stays until you reset it.", row.Act, row.ActWithinMinutes),
        // What the row says was done may be over: a valve that it calls open has long been closed.
        AlarmStanding.Shelved => new($"Nobody is called: put aside by a person ({alarm.Why}).", "Nothing until it is over; it then calls by itself if it is still so.", null),
        AlarmStanding.SuppressedByDesign => new("Nobody is called: another alarm tells of what causes it, and what was done.", "See to that one.", null),
        AlarmStanding.OutOfService => new($"Nobody is called: taken out of service by a person ({alarm.Why}).", "Return it to service when that is mended.", null),
        _ when alarm.IsEscalated(row) => new(row.Did, $"Called {alarm.UnseenCalls} times, and nobody has seen it: go, or call somebody who can. {row.Act}", row.ActWithinMinutes),
        _ => new(row.Did, row.Act, row.ActWithinMinutes),
    };

    /// <summary>By when something is to be done about an alarm as it stands: never after the animals' own time, where it is that which is told. Null when there is no hurry.</summary>
    public static MonotonicTime? By(Alarm row, StationState state)
    {
        var alarm = state.AlarmOf(row.Id);
        return Of(row, alarm).WithinMinutes is not { } within ? null
            : alarm.ActiveSince.Plus(within * 60) is var by && row.Id == AlarmId.ReleaseDue && Waiting.Waits.Of(state) is { } wait && state.LastStepAt.Plus(wait.Seconds) < by ? state.LastStepAt.Plus(wait.Seconds)
            : by;
    }

    /// <summary>ISA-18.2's word for the standing.</summary>
    public static string Word(AlarmStanding standing) => standing switch
    {
        AlarmStanding.Normal => "normal",
        AlarmStanding.Unacknowledged => "unacknowledged",
        AlarmStanding.Acknowledged => "acknowledged",
        AlarmStanding.ReturnedUnacknowledged => "returned, unacknowledged",
        AlarmStanding.LatchedUnacknowledged => "latched, unacknowledged",
        AlarmStanding.LatchedAcknowledged => "latched, acknowledged",
        AlarmStanding.Shelved => "shelved",
        AlarmStanding.SuppressedByDesign => "suppressed by design",
        AlarmStanding.OutOfService => "out of service",
        _ => throw new ArgumentOutOfRangeException(nameof(standing), standing, "no word for this standing"),
    };
}
