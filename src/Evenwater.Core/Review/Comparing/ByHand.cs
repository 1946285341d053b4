using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;

namespace Evenwater.Core.Review.Comparing;

/// <summary>What was tested or looked at by hand, before and after.</summary>
/// <param name="Name">Such as NO3 or algae-glass.</param>
/// <param name="Unit">Of the values; empty for steps and pH.</param>
/// <param name="Before">What was read, in order.</param>
/// <param name="After">Likewise.</param>
/// <param name="Shift">How far after lies above before, its interval no narrower than the scale can be read; null with too few to tell.</param>
/// <param name="Below">How many of these showed less than the kit can, and stand as that least.</param>
public sealed record ByHand(string Name, string Unit, IReadOnlyList<double> Before, IReadOnlyList<double> After, RankShift? Shift, int Below)
{
    /// <summary>Everything of the book within the spans.</summary>
    public static IReadOnlyList<ByHand> Of(CompareSpans spans, IEnumerable<Note> notes)
    {
        var seen = notes.Where(note => note.At is not null).OrderBy(note => note.At).Select(note => (
            note.At!.Value,
            Name: note.Test is { } test ? Substances.Symbol(test.Of) : note.Observation is { } look ? Sights.Name(look.Of) : null,
            Unit: note.Test is { } unit ? Substances.Unit(unit.Of) : "",
            Read: note.Test?.Value ?? note.Observation?.Step,
            Doubt: note.Test is { } kit ? kit.Step / 2 : 0.5,
            Below: note.Test?.Below == true)).Where(one => one.Name is not null);
        return [.. seen.GroupBy(one => (one.Name, one.Unit)).Select(group =>
        {
            var before = group.Where(one => one.Value >= spans.From && one.Value < spans.At).TakeLast(RankShift.Most / 2).ToList();
            var after = group.Where(one => one.Value >= spans.AfterBegin && one.Value < spans.To).Take(RankShift.Most / 2).ToList();
            double[] was = [.. before.Select(one => one.Read!.Value)], now = [.. after.Select(one => one.Read!.Value)];
            var shift = RankShift.Of(was, now);
            // A reading may err by half a step of its scale, before one way and after the other: a difference may by both.
            var doubt = before.Select(one => one.Doubt).DefaultIfEmpty().Max() + after.Select(one => one.Doubt).DefaultIfEmpty().Max();
            return new ByHand(
                group.Key.Name!, group.Key.Unit, was, now, shift is { } told ? told with { Low = told.Low - doubt, High = told.High + doubt } : null, before.Concat(after).Count(one => one.Below))
            {
                Changed = shift is { } seen && seen.Chance <= 1 - Estimate.Confidence + 1e-9 && (seen.Low > 0 || seen.High < 0),
            };
        }).Where(one => one.Before.Count + one.After.Count > 0)];
    }

    /// <summary>Whether it can be told that it changed: chance alone makes ranks as uneven at most once in ten. By how much is known no better than the scale can be read.</summary>
    public bool Changed { get; private init; }
}
