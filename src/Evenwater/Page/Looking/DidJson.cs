using Evenwater.Core.Keeping;
using Evenwater.Core.Review.Comparing;
using Evenwater.Keeping;

namespace Evenwater.Page.Looking;

/// <summary>What a change did, as data.</summary>
/// <param name="Station">Of which station.</param>
/// <param name="Note">The note that tells of the change; null when a time was given.</param>
/// <param name="Kind">The note's kind.</param>
/// <param name="Spans">What was compared.</param>
/// <param name="Sentences">The answer.</param>
/// <param name="Alone">Whether nothing else lies in the way of crediting it.</param>
/// <param name="Channels">Before and after.</param>
/// <param name="ByHand">Tests and observations.</param>
/// <param name="Else">What else happened.</param>
/// <param name="Shorter">Spans that leave everything else out; null when there are none, or these do.</param>
/// <param name="DamagedRows">How many rows of the log could not be read any more, and are left out.</param>
public sealed record DidJson(
    string Station, string? Note, string? Kind, DidSpansJson Spans, IReadOnlyList<string> Sentences, bool Alone,
    IReadOnlyList<DidChannelJson> Channels, IReadOnlyList<DidHandJson> ByHand, IReadOnlyList<DidElseJson> Else, DidSpansJson? Shorter, int DamagedRows)
{
    /// <summary>Of an answer.</summary>
    public static DidJson Of(string station, DidFound found)
    {
        ArgumentNullException.ThrowIfNull(found);
        var answer = found.Answer;
        return new(
            station, answer.What?.Id, answer.What is { } what ? NoteKinds.Name(what.Kind) : null, Of(answer.Spans), [.. DidSentence.Of(answer)], answer.Else.Alone,
            [.. answer.Channels.Select(Of)],
            [.. answer.Hands.Select(hand => new DidHandJson(hand.Name, hand.Unit, hand.Before, hand.After, hand.Shift?.Shift, hand.Shift?.Low, hand.Shift?.High, hand.Shift?.Chance, hand.Changed))],
            [.. answer.Else.All.Select(one => new DidElseJson(one.What.Kind.ToString(), one.What.At, one.What.Until, one.Days, one.Bearing.ToString(), DidText.Words(one.What)))],
            answer.Else.Shorter is { } shorter ? Of(shorter) : null, found.DamagedRows);
    }

    private static DidSpansJson Of(CompareSpans spans) => new(spans.At, spans.From, spans.BeforeEnd, spans.AfterBegin, spans.To, spans.BeforeDays, spans.AfterDays, spans.SettlingHours);

    private static DidChannelJson Of(ChannelCompared channel) => new(
        DidWords.Name(channel.Channel), channel.TooLittle,
        [.. channel.Figures.Select(Of)],
        channel.Hours is { } hours ? [.. hours.Select(hour => new DidHourJson(hour.Hour, hour.Difference.Value, hour.Difference.Low, hour.Difference.High))] : null);

    private static DidFigureJson Of(Compared one)
    {
        double? Told(double? value) => value is { } known ? DidWords.Told(one.Channel, one.Figure, known) : null;
        double? Own(double? value) => value is { } known ? DidWords.Own(one.Channel, one.Figure, known) : null;
        return new(
            DidWords.Name(one.Figure), DidWords.OwnUnit(one.Channel, one.Figure), Own(one.Before?.Value), Own(one.After?.Value), DidWords.Unit(one.Channel, one.Figure),
            Told(one.Difference?.Value), Told(one.Difference?.Low), Told(one.Difference?.High), one.Difference?.Chance, one.Verdict.ToString(), one.OtherDays?.Days, one.OtherDays?.AsLarge);
    }
}

/// <summary>What was compared.</summary>
public sealed record DidSpansJson(DateTimeOffset At, DateTimeOffset From, DateTimeOffset BeforeEnd, DateTimeOffset AfterBegin, DateTimeOffset To, int BeforeDays, int AfterDays, int SettlingHours);

/// <summary>A channel.</summary>
public sealed record DidChannelJson(string Channel, string? TooLittle, IReadOnlyList<DidFigureJson> Figures, IReadOnlyList<DidHourJson>? Hours);

/// <summary>A figure; low and high are the ends of the 90 % interval of the difference, chance is how often as much comes of nothing.</summary>
public sealed record DidFigureJson(
    string Figure, string OwnUnit, double? Before, double? After, string Unit, double? Difference, double? Low, double? High, double? Chance, string Verdict, int? OtherDays, int? OtherDaysAsLarge);

/// <summary>An hour of the day that changed otherwise than the rest.</summary>
public sealed record DidHourJson(int Hour, double Difference, double Low, double High);

/// <summary>What was read by hand.</summary>
public sealed record DidHandJson(string Name, string Unit, IReadOnlyList<double> Before, IReadOnlyList<double> After, double? Shift, double? Low, double? High, double? Chance, bool Changed);

/// <summary>Something else that happened; days is how long after the change.</summary>
public sealed record DidElseJson(string Kind, DateTimeOffset At, DateTimeOffset Until, double Days, string Bearing, string Text);
