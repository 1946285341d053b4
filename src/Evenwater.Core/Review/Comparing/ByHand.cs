using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;

namespace Evenwater.Core.Review.Comparing;

/// <summary>What was tested or looked at by hand, before and after.</summary>
/// <param name="Name">Such as NO3 or algae-glass.</param>
/// <param name="Unit">Of the values; empty for steps and pH.</param>
/// <param name="Before">What was read, in order.</param>
/// <param name="After">Likewise.</param>
/// <param name="Shift">How far after lies above before; null with too few to tell.</param>
/// <param name="Below">How many of all showed less than the kit can, and stand as that least.</param>
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
            double[] before = [.. group.Where(one => one.Value >= spans.From && one.Value < spans.At).TakeLast(RankShift.Most / 2).Select(one => one.Read!.Value)];
            double[] after = [.. group.Where(one => one.Value >= spans.AfterBegin && one.Value < spans.To).Take(RankShift.Most / 2).Select(one => one.Read!.Value)];
            var doubt = group.Max(one => one.Doubt);
            // A reading may err by half a step of its scale: the interval is no narrower than that on both sides.
            var shift = RankShift.Of(before, after) is { } told ? told with { Low = told.Low - doubt, High = told.High + doubt } : (RankShift?)null;
            return new ByHand(group.Key.Name!, group.Key.Unit, before, after, shift, group.Count(one => one.Below));
        }).Where(one => one.Before.Count + one.After.Count > 0)];
    }

    /// <summary>Whether it can be told that it changed: chance alone makes ranks as uneven at most once in ten.</summary>
    public bool Changed => Shift is { } shift && shift.Chance <= 1 - Estimate.Confidence + 1e-9 && (shift.Low > 0 || shift.High < 0);
}
