using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review.Comparing;

/// <summary>What else happened in or near both spans, and whether the change can be told apart from it.</summary>
/// <param name="All">Everything, in order of time.</param>
/// <param name="Shorter">Spans that leave everything out that acts; null when there are none of three days each, or when these do.</param>
public sealed record WhatElse(IReadOnlyList<ElseNear> All, CompareSpans? Shorter)
{
    /// <summary>A side of fewer days tells too little (three days have one interval between them and chance); so what lies nearer can not be told apart. Our own choice.</summary>
    public const int LeastDays = 3;

    private const double Alike = 0.25;
    private const double Daily = 0.5;

    private static readonly HashSet<NoteKind> Routines = [NoteKind.Feed, NoteKind.TopOff, NoteKind.WaterChange, NoteKind.Dose, NoteKind.Trim, NoteKind.FilterClean];

    /// <summary>Whether nothing else lies in the way: what differs may be laid at the change's door, as far as the book and the log know.</summary>
    public bool Alone => !All.Any(one => one.Bearing is Bearing.Together or Bearing.Within);

    /// <summary>What can not be told apart from the change, nearest first.</summary>
    public IEnumerable<ElseNear> Together => All.Where(one => one.Bearing == Bearing.Together).OrderBy(one => Math.Abs(one.Days));

    /// <summary>Of all that is known but the change itself.</summary>
    public static WhatElse Of(CompareSpans spans, IEnumerable<Else> known)
    {
        var near = known.Where(one => one.Until >= spans.From.AddHours(-spans.SettlingHours) && one.At < spans.To).OrderBy(one => one.At).ToList();
        var usual = near.Where(one => one.Note is not null && Routines.Contains(one.Note.Kind)).GroupBy(one => one.Note!.Kind)
            .Where(group => IsUsual([.. group], spans)).Select(group => group.Key).ToHashSet();
        ElseNear[] all = [.. near.Select(one => new ElseNear(one, Days(one, spans.At), Lies(one, spans, usual)))];
        return new(all, Array.Exists(all, one => one.Bearing is Bearing.Together or Bearing.Within) ? Without(spans, all) : null);
    }

    private static Bearing Lies(Else one, CompareSpans spans, HashSet<NoteKind> usual) =>
        one.Until < spans.From ? Bearing.Near
        : !one.Acts ? Bearing.Told
        : one.Note is { } note && usual.Contains(note.Kind) ? Bearing.Usual
        : one.Until.AddHours(spans.SettlingHours) > spans.BeforeEnd.AddDays(-LeastDays) && one.At < spans.AfterBegin.AddDays(LeastDays) ? Bearing.Together
        : Bearing.Within;

    /// <summary>
    /// As often on one side as on the other, within a quarter, with as much each day where amounts are told; and either food or fresh water, or every other day or more, or none of them so near that it can not be told apart.
    /// </summary>
    private static bool IsUsual(Else[] all, CompareSpans spans)
    {
        Else[] before = [.. all.Where(one => one.At >= spans.From && one.At < spans.At)];
        Else[] after = [.. all.Where(one => one.At >= spans.At && one.At < spans.To)];
        var (b, a) = (before.Length / (double)spans.BeforeDays, after.Length / (spans.To - spans.At).TotalDays);
        var daily = Math.Min(a, b) >= Daily || all[0].Note!.Kind is NoteKind.Feed or NoteKind.TopOff;
        return b > 0 && a > 0 && (before.Length == after.Length || Within(a, b))
            && Within(before.Average(Amount), after.Average(Amount))
            && (daily || !all.Any(one => Lies(one, spans, []) == Bearing.Together));
    }

    private static bool Within(double a, double b) => Math.Abs(a - b) <= Alike * Math.Max(a, b);

    private static double Amount(Else one) => one.Note?.Litres ?? one.Note?.Amount ?? 1;

    private static double Days(Else one, DateTimeOffset at) => ((one.At > at ? one.At : one.Until < at ? one.Until : at) - at).TotalDays;

    /// <summary>From the last that acts before, once it has settled, to the first after.</summary>
    private static CompareSpans? Without(CompareSpans spans, ElseNear[] all)
    {
        var acting = all.Where(one => one.Bearing is Bearing.Together or Bearing.Within).Select(one => one.What).ToList();
        if (acting.Exists(one => one.At < spans.AfterBegin && one.Until >= spans.BeforeEnd)) return null;
        var from = acting.Where(one => one.Until < spans.BeforeEnd).Select(one => one.Until.AddHours(spans.SettlingHours)).Append(spans.From).Max();
        var to = acting.Where(one => one.At >= spans.AfterBegin).Select(one => one.At).Append(spans.To).Min();
        var shorter = spans with { BeforeDays = (int)(spans.BeforeEnd - from).TotalDays, AfterDays = (int)(to - spans.AfterBegin).TotalDays };
        return shorter.BeforeDays >= LeastDays && shorter.AfterDays >= LeastDays ? shorter : null;
    }
}
