using System.Text.Json.Serialization;
using Evenwater.Core.Charting;
using Evenwater.Followers;

namespace Evenwater.Page.Charts;

/// <summary>The answer of /api/v1/history. Times are Unix milliseconds; stretch i of a line begins at its fromMs + i × stepMs.</summary>
/// <param name="FromMs">Where the span begins.</param>
/// <param name="ToMs">Where it ends.</param>
/// <param name="StepMs">How long a stretch is.</param>
/// <param name="Count">How many stretches there are.</param>
/// <param name="NowMs">Now, on the first station's clock.</param>
/// <param name="Source">raw, or Minute, QuarterHour or Day: what the stretches were made of.</param>
/// <param name="Zone">From when on the place is how many minutes ahead of UTC.</param>
/// <param name="Series">The lines.</param>
/// <param name="Clock">Which dates are not to be relied on, in words.</param>
/// <param name="Marks">What happened meanwhile.</param>
/// <param name="MarksLeftOut">How many more things happened.</param>
/// <param name="DamagedRows">How many rows of the log could not be read any more, and are left out.</param>
internal sealed record HistoryAnswer(
    long FromMs, long ToMs, long StepMs, int Count, long NowMs, string Source, IReadOnlyList<long[]> Zone,
    IReadOnlyList<SeriesAnswer> Series, IReadOnlyList<ClockAnswer> Clock, IReadOnlyList<MarkAnswer> Marks, int MarksLeftOut, int DamagedRows)
{
    public static HistoryAnswer Of(HistoryData data, string? here) => new(
        Ms(data.Ask.From), Ms(data.Ask.To), (long)data.Axis.Step.TotalMilliseconds, data.Axis.Count, Ms(data.Ask.Now), data.Source,
        [.. StationZone.Offsets(data.Ask.Zone, data.Ask.From, data.Ask.To).Select(offset => new[] { Ms(offset.From), offset.Minutes })],
        [.. data.Lines.Select(line => SeriesAnswer.Of(line, here))],
        [.. data.Doubts.Select(doubt => new ClockAnswer(doubt.Station, Ms(doubt.From), Ms(doubt.To), doubt.Restored ? "restored" : "unsynced"))],
        [.. data.Marks.Select(mark => new MarkAnswer(mark.Number, Ms(mark.At), mark.Kind, mark.Station, mark.Text))],
        data.MarksLeftOut, data.DamagedRows);

    internal static long Ms(DateTimeOffset at) => at.ToUnixTimeMilliseconds();
}

/// <summary>One channel's line. A stretch without a reading is null in all three; those of them that are gaps are told in gaps, as pairs.</summary>
/// <param name="Station">Its station.</param>
/// <param name="Channel">Its name.</param>
/// <param name="Label">As people read it.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Decimals">Digits after the point that are worth showing.</param>
/// <param name="Compared">Whether it is of the span that is laid over.</param>
/// <param name="FromMs">Where its first stretch begins.</param>
/// <param name="LastMs">Where the last stretch begins that was read; null when none was.</param>
/// <param name="AgeSeconds">How long before now that ended, 0 while it lasts.</param>
/// <param name="Min">The lowest reading of each stretch.</param>
/// <param name="Mean">The mean.</param>
/// <param name="Max">The highest.</param>
/// <param name="Gaps">From and to of each gap.</param>
internal sealed record SeriesAnswer(
    string Station, string Channel, string Label, string Unit, int Decimals, bool Compared, long FromMs, long? LastMs, double? AgeSeconds,
    double?[] Min, double?[] Mean, double?[] Max, IReadOnlyList<long[]> Gaps)
{
    public static SeriesAnswer Of(HistoryLine line, string? here)
    {
        var look = ChannelLook.Of(line.Of.Channel);
        var axis = line.Line.Axis;
        var last = line.Line.LastPlace;
        return new(
            line.Of.Station, SiChannel.Of(line.Of.Channel).Name, line.Label(here), look.Unit, look.Decimals, line.IsCompared, HistoryAnswer.Ms(axis.From),
            last is { } place ? HistoryAnswer.Ms(axis.At(place)) : null, last is { } end ? Math.Max(0, (line.Line.Until - axis.At(end + 1)).TotalSeconds) : null,
            Each(bin => bin.Min), Each(bin => bin.Mean), Each(bin => bin.Max),
            [.. line.Line.Gaps.Select(gap => new[] { HistoryAnswer.Ms(gap.From), HistoryAnswer.Ms(gap.To) })]);

        // Two digits more than are shown: a thousandth of a degree, a hundredth of a microsiemens.
        double?[] Each(Func<Bin, double> of) => [.. line.Line.Bins.Select(bin => bin is { } known ? Math.Round(of(known), look.Decimals + 2) : (double?)null)];
    }
}

/// <summary>Dates that are not to be relied on.</summary>
internal sealed record ClockAnswer(string Station, long FromMs, long ToMs, string Quality);

/// <summary>Something that happened.</summary>
internal sealed record MarkAnswer(int Number, long AtMs, string Kind, string Station, string Text);

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(HistoryAnswer))]
internal sealed partial class HistoryJson : JsonSerializerContext;
