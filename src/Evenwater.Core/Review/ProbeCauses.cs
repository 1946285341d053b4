using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review;

/// <summary>The water is as it was; the probe is not.</summary>
internal static class ProbeCauses
{
    /// <summary>No water comes to a third of its conductivity within two hours, unless three quarters of it are changed. A derivation.</summary>
    private const double AirShare = 0.3;

    public static Candidate OutOfWater(Signs signs) => signs.Lowest is { } share && share < AirShare
        ? new(Cause.ProbeOutOfWater, [new($"conductivity fell to {Causes.Say(100 * share)} % of what it was", 10)])
        : Causes.Out(Cause.ProbeOutOfWater, "conductivity stayed that of water");

    public static Candidate Calibration(Signs signs, Happened happened)
    {
        var course = signs.Courses.Values.First();
        List<Candidate> all = [Causes.Out(Cause.CalibrationStep, "no calibration took effect then")];
        foreach (var step in happened.Calibrations)
        {
            var point = course.PointOf(step.At);
            if (point < signs.Episode.At - 3 || point > Math.Max(signs.Episode.At + 3, signs.Told)) continue;
            var ofCell = step.Channel == Channel.TankConductivity;
            if (!(ofCell ? signs.ConductivityMoved : signs.TemperatureMoved) || (ofCell ? signs.Settled : signs.Peak) is not { } size) continue;
            var sd = ofCell ? (2 * signs.ConductivitySd) + (0.1 * Math.Abs(step.Step)) : 2 * signs.TemperatureSd;
            all.Add(new(Cause.CalibrationStep, [new("a calibration took effect at the same time", 5), Causes.Agree("its step", size, step.Step, sd)]));
        }

        return all.MaxBy(one => one.Score)!;
    }

    public static Candidate PowerCut(Signs signs) => signs.MissingPoints >= 2
        ? new(Cause.PowerCut, [new($"nothing was read for {Causes.Say(signs.MissingPoints / 4.0)} h", 7)])
        : Causes.Out(Cause.PowerCut, "readings went on");

    public static Candidate Fouling(Signs signs, Happened happened)
    {
        if (!signs.Slow)
        {
            return signs.Conductivity?.Quick is { } quick and > 0 && !signs.TemperatureMoved && Causes.Noted(signs, happened, 2, NoteKind.ProbeClean) is { Weight: > 0 } cleaned
                ? new(Cause.ProbeFouling, [cleaned, new($"it rose by {Causes.Percent(quick)} % at once", 2.5)])
                : Causes.Out(Cause.ProbeFouling, "it came at once");
        }

        if (Rate(signs) is not { } rate || rate >= 0) return Causes.Out(Cause.ProbeFouling, "conductivity did not fall slowly");
        var fall = -rate;
        // Spray and crusts do not take more than about 1 % of a tank's salt a day; a film on a cell takes several of its reading. Common practice, no source.
        return new(Cause.ProbeFouling,
        [
            new($"it falls by {Causes.Say(fall)} % a day{signs.BesideUsual}", 3),
            new("salt alone does not leave so fast", signs.Conductivity!.Seen is { } seen && !Standing.SaltMeasure.IsSalt(seen) ? 1 : Math.Clamp(4 * (fall - 1), -3, 2)),
            Quiet(signs), Causes.Noted(signs, happened, 150, NoteKind.ProbeClean), SlowCauses.Warmth(signs),
        ]);
    }

    /// <summary>% a day, over two days when nothing else moved it so long; null within four hours.</summary>
    public static double? Rate(Signs signs) => signs.Conductivity is { Moved: true } salt && salt.Grown(48) is var (change, hours) ? change / hours * 24 : null;

    /// <summary>A film damps what the cell sees of quick changes.</summary>
    public static Evidence Quiet(Signs signs)
    {
        if (!signs.Courses.TryGetValue(Channel.TankConductivity, out var course)) return new("no conductivity", 0);
        double? Steps(int from, int to)
        {
            List<double> steps = [];
            for (var i = Math.Max(1, from); i < Math.Min(to, course.Count); i++)
            {
                if (course.Values[i] - course.Values[i - 1] is { } step) steps.Add(Math.Abs(step));
            }

            return steps.Count >= 48 ? Standing.Spread.Median(steps) : null;
        }

        var at = signs.Conductivity!.At;
        // Of a probe whose steps are coarser than what the water does most of them are nought, and tell nothing.
        return Steps(at - 192, at) is > 0 and var was && Steps(at + 96, at + 240) / was is { } ratio
            ? new($"its small movements are {Causes.Say(ratio)} times what they were", Math.Clamp(4 * (0.75 - ratio), -1, 2))
            : new("too little to tell whether it moves less", 0);
    }
}
