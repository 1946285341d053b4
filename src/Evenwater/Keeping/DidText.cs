using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Telling;

namespace Evenwater.Keeping;

/// <summary>What a change did in lines for a terminal, or as rows.</summary>
internal static class DidText
{
    /// <summary>Sentences first, then the figures, then what else happened.</summary>
    /// <param name="answer">The answer.</param>
    /// <param name="zone">The keeper's time zone.</param>
    /// <param name="now">When it is asked; null where nobody knows.</param>
    public static IEnumerable<string> Of(DidAnswer answer, TimeZoneInfo zone, DateTimeOffset? now = null)
    {
        yield return answer.What is { } what ? BookText.Line(what, zone) : KeptTime.Text(answer.Spans.At, zone);
        yield return Spans(answer.Spans, zone);
        if (NotOver(answer.Spans, now, zone) is { } early) yield return early;
        foreach (var sentence in DidSentence.Of(answer)) yield return sentence;
        foreach (var channel in answer.Channels)
        {
            if (channel.TooLittle is { } why) yield return $"  {DidWords.Name(channel.Channel),-13} can't tell: {why}";
            foreach (var one in channel.Figures) yield return $"  {DidWords.Name(one.Channel),-13} {DidWords.Name(one.Figure),-13} {Line(one)}";
            foreach (var hour in channel.Hours ?? []) yield return $"  {DidWords.Name(channel.Channel),-13} {hour.Hour:00}:00 {Hour(channel, hour)} beside the rest of the day";
            if (channel.Before.LeftOut + channel.After.LeftOut is > 0 and var leftOut) yield return $"  {DidWords.Name(channel.Channel),-13} {HowMany.Of(leftOut, "hour")} left out that lay far off by {(leftOut == 1 ? "itself" : "themselves")}";
        }

        foreach (var hand in answer.Hands) yield return $"  {hand.Name,-13} by hand       {Hand(hand)}";
        if (answer.Else.All.Count > 0) yield return "Also in or near both spans:";
        foreach (var one in answer.Else.All) yield return $"  {KeptTime.Text(one.What.At, zone)}  {Lies(one.Bearing),-27} {Words(one.What)}";
    }

    /// <summary>A row for each figure.</summary>
    public static IEnumerable<string> Rows(DidAnswer answer)
    {
        yield return "channel,figure,unit_own,before,after,unit,difference,low,high,chance,verdict,other_days,as_large,alone";
        foreach (var one in answer.Channels.SelectMany(channel => channel.Figures))
        {
            double? Told(double? value) => value is { } known ? DidWords.Told(one.Channel, one.Figure, known) : null;
            double? Own(double? value) => value is { } known ? DidWords.Own(one.Channel, one.Figure, known) : null;
            yield return $"{DidWords.Name(one.Channel)},{DidWords.Name(one.Figure)},{DidWords.OwnUnit(one.Channel, one.Figure)},{Own(one.Before?.Value):G6},{Own(one.After?.Value):G6},{DidWords.Unit(one.Channel, one.Figure)},{Told(one.Difference?.Value):G4},{Told(one.Difference?.Low):G4},{Told(one.Difference?.High):G4},{one.Difference?.Chance:G3},{one.Verdict},{one.OtherDays?.Days},{one.OtherDays?.AsLarge},{(answer.Else.Alone ? "yes" : "no")}";
        }
    }

    /// <summary>Which spans, in a sentence.</summary>
    public static string Spans(CompareSpans spans, TimeZoneInfo zone) =>
        $"{spans.BeforeDays} days before, {KeptTime.Text(spans.From, zone)} to {KeptTime.Text(spans.BeforeEnd, zone)}, beside {spans.AfterDays} days after, {KeptTime.Text(spans.AfterBegin, zone)} to {KeptTime.Text(spans.To, zone)}; {spans.SettlingHours} h of settling left out.";

    /// <summary>That it is asked too early, and when to ask again; null when it is not.</summary>
    public static string? NotOver(CompareSpans spans, DateTimeOffset? now, TimeZoneInfo zone) => spans.To > now ? $"The days after it are not over yet: ask again from {KeptTime.Text(spans.To, zone)} on." : null;

    /// <summary>How something else lies, in a few words.</summary>
    public static string Lies(Bearing bearing) => bearing switch
    {
        Bearing.Together => "too near to be told apart",
        Bearing.Within => "within the spans",
        Bearing.Usual => "as often before as after",
        Bearing.Told => "moves nothing",
        _ => "just before the spans",
    };

    /// <summary>Something else, with what the note says.</summary>
    public static string Words(Else one) => one.Note is { } note ? $"{one.Text}: {BookText.Words(note)}" : one.Text;

    /// <summary>What was read by hand.</summary>
    public static string Hand(ByHand hand) => $"{Values(hand.Before)} before, {Values(hand.After)} after{(hand.Unit.Length > 0 ? $", {hand.Unit}" : "")}: {(hand.Changed ? $"{(hand.Shift!.Value.Shift < 0 ? "lower" : "higher")} ({DidWords.Range(Figure.Level, hand.Shift.Value.Low, hand.Shift.Value.High)})" : hand.Shift is null ? "can't tell, three on each side are the least" : "can't tell")}{(hand.Below > 0 ? $"; {hand.Below} showed nothing and stand as the least that the kit shows" : "")}";

    /// <summary>An hour's change beside the rest of the day.</summary>
    public static string Hour(ChannelCompared channel, HourChange hour) =>
        $"{DidWords.Say(hour.Difference.Value)} {DidWords.Unit(channel.Channel, Figure.Level)} ({DidWords.Range(Figure.Level, hour.Difference.Low, hour.Difference.High)})";

    private static string Line(Compared one) => one is { Before: { } before, After: { } after }
        ? $"{DidWords.SayOwn(one.Channel, one.Figure, before.Value)} to {DidWords.SayOwn(one.Channel, one.Figure, after.Value)} {DidWords.OwnUnit(one.Channel, one.Figure)}: {DidWords.Difference(one)}; {DidWords.Verdict(one)}"
        : DidWords.Verdict(one);

    private static string Values(IReadOnlyList<double> values) => values.Count == 0 ? "none" : string.Join(", ", values.Select(value => value.ToString("0.###")));
}
