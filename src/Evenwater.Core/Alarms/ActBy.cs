namespace Evenwater.Core.Alarms;

/// <summary>By when a person must act, in words, where no time of day can be told or none is needed.</summary>
public static class ActBy
{
    /// <summary>The words for an alarm of this priority that stands so. They are those of <see cref="Priority"/>; common practice, no source.</summary>
    public static string Words(Priority priority, AlarmStanding standing) => (standing, priority) switch
    {
        (AlarmStanding.Normal or AlarmStanding.SuppressedByDesign, _) => "not needed",
        (AlarmStanding.ReturnedUnacknowledged, _) => "when you are there",
        (AlarmStanding.Shelved, _) => "when it calls again",
        (AlarmStanding.OutOfService, _) => "when it is mended",
        (_, Priority.Low) => "today",
        (_, Priority.Medium) => "within the hour",
        (_, Priority.High) => "within minutes",
        _ => "now",
    };
}
