using Evenwater.Core.Charting;

namespace Evenwater.Page.Charts;

/// <summary>All that the page shows of a span.</summary>
/// <param name="Data">The lines and what happened.</param>
/// <param name="Summaries">Each line in figures; null where nothing was read.</param>
/// <param name="Profiles">The course over the day of each line, where there are days enough; empty without.</param>
public sealed record HistoryMade(HistoryData Data, IReadOnlyList<LineSummary?> Summaries, IReadOnlyList<(HistoryLine Line, IReadOnlyList<HourProfile> Hours)> Profiles)
{
    /// <summary>Reads it.</summary>
    internal static HistoryMade Of(HistoryReading reading, HistoryAsk ask, CancellationToken stop)
    {
        var data = reading.Read(ask, marks: true, stop);
        var days = (ask.To - ask.From).TotalDays;
        List<(HistoryLine, IReadOnlyList<HourProfile>)> profiles = [];
        foreach (var line in days < HourProfile.LeastDays ? [] : data.Lines.Where(line => !line.IsCompared && line.Line.HasReadings))
        {
            var hours = HourProfile.Of(reading.Hours(ask, line.Of, stop), ask.Zone);
            if (hours.Any(hour => hour.Days >= HourProfile.LeastDays)) profiles.Add((line, hours));
        }

        return new(data, [.. data.Lines.Select(line => LineSummary.Of(line.Line))], profiles);
    }

    /// <summary>The lines of each chart: those of one unit, in the order asked for.</summary>
    public IEnumerable<(string Unit, IReadOnlyList<(HistoryLine Line, int Look)> Lines)> Charts =>
        Data.Lines.Select((line, i) => (Line: line, Look: LookOf(i))).GroupBy(one => ChannelLook.Of(one.Line.Of.Channel).Unit)
            .Select(group => (group.Key, (IReadOnlyList<(HistoryLine, int)>)[.. group]));

    /// <summary>The look of a line: one for each channel; compared ones have that of theirs, in another dash.</summary>
    public int LookOf(int line) => line % Data.Ask.Channels.Count;
}
