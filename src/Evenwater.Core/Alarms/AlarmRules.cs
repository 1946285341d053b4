namespace Evenwater.Core.Alarms;

/// <summary>What a table of alarms must keep to. A program whose table does not is not started.</summary>
public static class AlarmRules
{
    /// <summary>What is wrong, a line each, by alarm and property; empty when nothing is.</summary>
    public static IReadOnlyList<string> Problems(IReadOnlyList<Alarm> rows) =>
        [.. rows.SelectMany((row, place) => Of(row, place, rows))];

    private static IEnumerable<string> Of(Alarm row, int place, IReadOnlyList<Alarm> rows)
    {
        string Wrong(string property, object value, string allowed) => $"alarm {(row.Name.Length > 0 ? row.Name : row.Id)}: {property} = {value}; allowed: {allowed}.";
        if ((int)row.Id != place + 1)
        {
            yield return Wrong("Id", row.Id, $"the number of its place, {place + 1}");
        }

        if (rows.Any(other => other != row && other.Name == row.Name) || row.Name.Length == 0 || row.Name.Any(c => c is not ((>= 'a' and <= 'z') or '-')))
        {
            yield return Wrong("Name", $"\"{row.Name}\"", "a name of its own, of a-z and -");
        }

        foreach (var (property, text) in new[] { ("Title", row.Title), ("Consequence", row.Consequence), ("Did", row.Did), ("Act", row.Act), ("Setpoint.Unit", row.Setpoint.Unit) })
        {
            if (string.IsNullOrWhiteSpace(text))
            {
                yield return Wrong(property, $"\"{text}\"", property == "Act" ? "what a person should do. What needs nobody's act is an event, not an alarm" : "words");
            }
        }

        if (row.ActWithinMinutes is < 1 or > 1440)
        {
            yield return Wrong("ActWithinMinutes", row.ActWithinMinutes, "1 to 1440 min");
        }

        if (row.ReAlarmMinutes is < 1 or > 1440)
        {
            yield return Wrong("ReAlarmMinutes", row.ReAlarmMinutes, "1 to 1440 min");
        }

        if (!double.IsFinite(row.Setpoint.Value) || !(row.Setpoint.Deadband is >= 0 and < double.PositiveInfinity))
        {
            yield return Wrong("Setpoint", row.Setpoint, "a number, and a deadband of 0 or more");
        }

        if (!(row.OnDelaySeconds is >= 0 and <= 3600 && row.OffDelaySeconds is >= 0 and <= 3600))
        {
            yield return Wrong("delays", $"{row.OnDelaySeconds} and {row.OffDelaySeconds}", "0 to 3600 s");
        }

        if (row.Latches && (row.MayBeSilenced || row.SuppressedBy.Count > 0))
        {
            yield return Wrong("Latches", row.Latches, "only what is never silenced and never suppressed");
        }

        if (row.IsTest && (row.Priority != Priority.Low || row.Latches))
        {
            yield return Wrong("IsTest", row.IsTest, "only of low priority, and not latching");
        }

        // One step deep, so that no alarm explains another away in a ring, nor itself.
        foreach (var other in row.SuppressedBy.Where(o => rows.FirstOrDefault(r => r.Id == o) is not { SuppressedBy.Count: 0 }))
        {
            yield return Wrong("SuppressedBy", other, "other alarms that nothing suppresses");
        }
    }
}
