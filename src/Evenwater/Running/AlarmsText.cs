using System.Globalization;
using System.Text;
using Evenwater.Core.Alarms;

namespace Evenwater.Running;

/// <summary>A station's alarms in plain lines, for the terminal.</summary>
internal static class AlarmsText
{
    /// <summary>What is not normal, each with what happens, what was done, what to do and by when; then the figures.</summary>
    /// <param name="station">Its name.</param>
    /// <param name="alarms">How they stand.</param>
    /// <param name="now">What the station's clock says; null while it has never been set.</param>
    public static string Of(string station, AlarmsShown alarms, DateTimeOffset? now)
    {
        var text = new StringBuilder(alarms.Lines.Any(line => line.Stands) ? $"{station}: these alarms stand." : $"{station}: no alarm stands.");
        foreach (var line in alarms.Lines)
        {
            text.Append($"\n\n{line.Name}: {line.Standing}, {line.Priority}{(line.Since is { } since ? $", since {Clock(since, now)}" : "")}\n  What: {line.Title}.");
            if (line.Consequence is { } consequence)
            {
                text.Append($" If nothing is done: {consequence}");
            }

            text.Append($"\n  Done: {line.Did}{(line.ShelvedUntil is { } until ? $" Until {Clock(until, now)}." : "")}");
            text.Append($"\n  To do: {line.Do}{(line.ByWhen is { } by ? $" By {Clock(by, now)}." : line.HowSoon is { } soon ? $" How soon: {soon}." : "")}");
        }

        return text.Append($"\n\n{Figures(alarms.Measures) ?? "Nobody was called in the last 24 h."}").ToString();
    }

    /// <summary>Every alarm with where it stands and how it is set.</summary>
    public static string All(string station, AlarmsShown alarms)
    {
        var text = new StringBuilder(station);
        for (var i = 0; i < AlarmTable.All.Count; i++)
        {
            var row = AlarmTable.All[i];
            var by = row.SuppressedBy.Count == 0 ? "nothing" : string.Join(", ", row.SuppressedBy.Select(id => AlarmTable.Of(id).Name));
            text.Append($"\n\n{row.Name}: {AlarmSentence.Word(alarms.Standing[i])}, {Words.Of(row.Priority)}\n  What: {row.Title}. If nothing is done: {row.Consequence}");
            text.Append($"\n  To do: {row.Act} Within {row.ActWithinMinutes} min.");
            text.Append($"\n  Set: {row.Setpoint.Value:0.###} {row.Setpoint.Unit}, deadband {row.Setpoint.Deadband:0.###}; on after {row.OnDelaySeconds:0} s, off after {row.OffDelaySeconds:0} s, again after {row.ReAlarmMinutes} min");
            text.Append($"{(row.Latches ? "; latches" : "")}{(row.MayBeSilenced ? "" : "; never shelved")}; suppressed by {by}.");
        }

        return text.ToString();
    }

    /// <summary>How much the alarms ask of their person; null when nobody was called and none is stale.</summary>
    public static string? Figures(AlarmMeasures measures)
    {
        if (measures is { LastDay: 0, Stale.Count: 0 })
        {
            return null;
        }

        var text = new StringBuilder($"Calls in the last 24 h: {measures.LastDay}{(measures.Dropped > 0 ? " or more" : "")}; most in ten minutes: {measures.WorstTenMinutes}");
        text.Append(measures.WorstTenMinutes > AlarmMeasures.MostInTenMinutes ? $", more than the {AlarmMeasures.MostInTenMinutes} that one can deal with." : ".");
        text.Append($" Chattering (3 in a minute): {Named(measures.Chattering)}. Stale (longer than 24 h): {Named(measures.Stale)}. The weekly test is not counted.");
        return text.ToString();
    }

    /// <summary>As on the page: a time more than half a day away with its day, or it would be taken for the nearer one that reads the same.</summary>
    private static string Clock(DateTimeOffset at, DateTimeOffset? now) =>
        at.ToString(now is { } here && Math.Abs((at - here).TotalDays) <= 0.5 ? "HH:mm" : "ddd d MMM HH:mm", CultureInfo.InvariantCulture);

    private static string Named(IReadOnlyList<AlarmId> ids) => ids.Count == 0 ? "none" : string.Join(", ", ids.Select(id => AlarmTable.Of(id).Name));
}
