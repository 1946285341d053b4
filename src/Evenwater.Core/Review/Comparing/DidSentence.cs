using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review.Comparing;

/// <summary>The answer in sentences: what differs, whether it may be credited to the change, and what is not known.</summary>
public static class DidSentence
{
    private const int Named = 3;

    /// <summary>In the order they are read.</summary>
    public static IEnumerable<string> Of(DidAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        if (answer.Channels.Count == 0 && answer.Hands.Count == 0)
        {
            yield return "Can't tell: nothing was read in this tank in or near both spans.";
            yield break;
        }

        foreach (var change in answer.Changes) yield return $"{DidWords.Subject(change.Channel, change.Figure)} {DidWords.Was(change.Figure)} {DidWords.Difference(change)} after than before. {DidWords.OtherDays(change.OtherDays!.Value)}";
        foreach (var hand in answer.Hands.Where(hand => hand.Changed))
        {
            var shift = hand.Shift!.Value;
            yield return $"{hand.Name} was {DidWords.Say(Math.Abs(shift.Shift))} {hand.Unit}".TrimEnd() + $" {(shift.Shift < 0 ? "lower" : "higher")} ({DidWords.Range(Figure.Level, shift.Low, shift.High)}) in {hand.After.Count} readings after than in {hand.Before.Count} before.";
        }

        if (!answer.AnyChange) yield return Nothing(answer);
        foreach (var one in answer.Channels.SelectMany(channel => channel.Figures))
        {
            if (one.Verdict == Verdict.OnItsWay) yield return $"{DidWords.Subject(one.Channel, one.Figure)} was {DidWords.Difference(one)}, but it moved so before: going on alone would have made it {DidWords.Say(Math.Abs(DidWords.Told(one.Channel, one.Figure, one.GoingOn!.Value.Value)))} {DidWords.Unit(one.Channel, one.Figure)} {(one.GoingOn.Value.Value < 0 ? "lower" : "higher")}.";
            if (one.Verdict == Verdict.AsOnOtherDays) yield return $"{DidWords.Subject(one.Channel, one.Figure)} {DidWords.Was(one.Figure)} {DidWords.Difference(one)}, but that is nothing unusual here. {DidWords.OtherDays(one.OtherDays!.Value)}";
        }

        yield return Credit(answer);
        if (answer.Else.Shorter is { } shorter) yield return $"With {shorter.BeforeDays} days before and {shorter.AfterDays} after nothing else lies within: ask again so.";
    }

    private static string Nothing(DidAnswer answer)
    {
        var figures = answer.Channels.SelectMany(channel => channel.Figures).ToList();
        var same = figures.Where(one => one.Verdict is Verdict.AsBefore or Verdict.LessThanMatters && one.Figure == Figure.Level).Select(one => DidWords.Name(one.Channel)).ToList();
        var open = answer.Channels.Where(channel => channel.TooLittle is not null || channel[Figure.Level] is { Verdict: Verdict.CanNotTell or Verdict.TooLittle }).Select(channel => DidWords.Name(channel.Channel)).ToList();
        return (same, open) switch
        {
            (_, { Count: > 0 }) when answer.Channels.All(channel => channel.TooLittle is not null) => $"Can't tell: of {Listed(open)} too little was read in the spans.",
            ({ Count: > 0 }, { Count: 0 }) when figures.Exists(one => one.Verdict is Verdict.OnItsWay or Verdict.AsOnOtherDays) => $"No change that can be laid at its door: {Listed(same)} as before, within what matters.",
            ({ Count: > 0 }, { Count: 0 }) => $"As far as was read it changed nothing: {Listed(same)} as before, within what matters.",
            ({ Count: > 0 }, _) => $"No change is known: {Listed(same)} as before, within what matters; of {Listed(open)} it can't be told.",
            (_, { Count: > 0 }) => $"Can't tell: of {Listed(open)} the spans leave open whether anything that matters changed.",
            _ => "No change that can be laid at its door.",
        };
    }

    private static string Credit(DidAnswer answer)
    {
        var what = answer.What is { } note ? $"the {NoteKinds.Name(note.Kind)} ({note.Id})" : "what was done then";
        var together = answer.Else.Together.ToList();
        if (together.Count > 0)
        {
            return Beside(answer, what, $"{Some(together)} {(together.Count == 1 ? "lies" : "lie")} nearer than can be told apart");
        }

        var within = answer.Else.All.Where(one => one.Bearing == Bearing.Within).ToList();
        if (within.Count > 0) return Beside(answer, what, $"{Some(within)} also {(within.Count == 1 ? "lies" : "lie")} within the spans");
        var usual = answer.Else.All.Any(one => one.Bearing == Bearing.Usual) ? " but what is done as often before as after" : "";
        return answer.AnyChange
            ? $"Nothing else is known within both spans{usual}, so {what} is what is left. What nobody wrote down is not known, and what comes after is not always what comes of it."
            : $"Nothing else is known within both spans{usual}.";
    }

    /// <summary>Of what differs, or of nothing that does, with what else was there.</summary>
    private static string Beside(DidAnswer answer, string what, string near) =>
        answer.AnyChange ? $"None of this can be credited to {what} alone: {near}." : $"And {what} was not alone: {near}, so that one may hide what the other did.";

    private static string Some(List<ElseNear> all) => $"{Listed([.. all.Take(Named).Select(one => $"{one.What.Text} {Away(one.Days)}")])}{(all.Count > Named ? $" and {all.Count - Named} more" : "")}";

    private static string Away(double days) => Math.Abs(days) < 1
        ? Math.Abs(days) < 1.0 / 24 ? "at the same time" : $"{(Math.Abs(days) * 24).ToString("0.0", System.Globalization.CultureInfo.InvariantCulture)} h {(days < 0 ? "before" : "after")}"
        : $"{Math.Abs(days).ToString("0.0", System.Globalization.CultureInfo.InvariantCulture)} days {(days < 0 ? "before" : "after")}";

    /// <summary>As they are said: "a, b and c".</summary>
    public static string Listed(IReadOnlyList<string> names) => names.Count <= 1 ? string.Concat(names) : $"{string.Join(", ", names.Take(names.Count - 1))} and {names[^1]}";
}
