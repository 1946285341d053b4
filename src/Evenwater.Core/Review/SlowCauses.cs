using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review;

/// <summary>What comes over days, by its shape.</summary>
internal static class SlowCauses
{
    public static Candidate Evaporation(Signs signs, Happened happened)
    {
        if (!signs.Slow || ProbeCauses.Rate(signs) is not (double rate and > 0)) return Causes.Out(Cause.Evaporation, "conductivity did not rise slowly");
        var lost = happened.TankLitres * Math.Log(signs.Conductivity!.Seen is > 0 and var seen ? Standing.SaltMeasure.Ratio(seen, rate) : Math.Exp(rate / 100));
        return new(Cause.Evaporation,
        [
            new($"conductivity rises by {Causes.Say(rate)} % a day{signs.BesideUsual}: {Causes.Say(lost)} L a day", rate is > 0.3 and < 6 ? 3 : -1), Shape(signs, steady: true), Warmth(signs),
        ]);
    }

    public static Candidate Overfeeding(Signs signs, Happened happened)
    {
        if (!signs.Slow || signs.Conductivity is not { Moved: true } salt || salt.Grown(24) is not (var (rise, hours) and { Change: > 0 })) return Causes.Out(Cause.Overfeeding, "conductivity did not rise slowly");
        return new(Cause.Overfeeding, [new($"conductivity rose by {Causes.Percent(rise)} % in {Causes.Say(hours)} h", 2.5), Shape(signs, steady: false), Fed(signs, happened), Warmth(signs)]);
    }

    public static Candidate SaltCreep(Signs signs)
    {
        if (!signs.Slow || ProbeCauses.Rate(signs) is not (double rate and < 0)) return Causes.Out(Cause.SaltCreep, "conductivity did not fall slowly");
        if (signs.Conductivity!.Seen is { } seen && !Standing.SaltMeasure.IsSalt(seen)) return Causes.Out(Cause.SaltCreep, "fresh water has no salt to creep");
        var quiet = ProbeCauses.Quiet(signs);
        return new(Cause.SaltCreep, [new($"it falls by {Causes.Say(-rate)} % a day{signs.BesideUsual}", 3), new("so fast does salt leave", Math.Clamp(4 * (1 + rate), -3, 2)), quiet with { Weight = -quiet.Weight }, Warmth(signs)]);
    }

    /// <summary>Whether the second half of two days (or of one) brought as much as the first.</summary>
    private static Evidence Shape(Signs signs, bool steady)
    {
        if (signs.Conductivity?.Grown(48) is not (var (whole, hours) and { Hours: >= 12 }) || signs.Conductivity.After((hours / 2) - 2, (hours / 2) + 2) is not (double one and > 0)) return new("too little after it to tell its shape", 0);
        var ratio = (whole - one) / one;
        // What comes free over a day or two has not all come within the first half of one.
        return new($"the later half brought {Causes.Say(ratio)} of the earlier", !steady && ratio < 0.05 ? -2 : Math.Clamp((steady ? 1 : -1) * 8 * (ratio - 0.6), -4, 2));
    }

    /// <summary>None of what comes slowly warms or cools the water; what does may have come at the same time.</summary>
    public static Evidence Warmth(Signs signs) => signs.TemperatureMoved
        ? new($"temperature moved by {Causes.Say(signs.Peak ?? 0)} °C", signs.Temperature!.Moved ? -2.5 : -0.5) : new("the temperature is as ever", 0);

    private static Evidence Fed(Signs signs, Happened happened)
    {
        var at = signs.When;
        var meals = happened.Notes.Where(note => note.Kind == NoteKind.Feed && note.Amount is not null).ToList();
        var usual = meals.Count >= 3 ? Standing.Spread.Median(meals.Select(note => note.Amount!.Value)) : (double?)null;
        // A meal after it was told did not make it.
        var told = signs.Courses.Values.First().At(signs.Told);
        var big = meals.Where(note => note.At < told && Math.Abs((note.At.Value - at).TotalHours) < 12).Select(note => note.Amount!.Value).DefaultIfEmpty().Max();
        return usual is { } portion && big > 1.7 * portion ? new($"the book tells of a meal of {Causes.Say(big)} where {Causes.Say(portion)} is usual", 2) : new("no large meal in the book", 0);
    }
}
