using System.Globalization;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Telling;

namespace Evenwater.Core.Review;

/// <summary>Ranks what may have made an episode, by arithmetic. A probe that errs is looked at with the same numbers, and its signs weigh most.</summary>
public static class Causes
{
    /// <summary>What a cause must come to before it is more likely than something that is not known here. Judged, not fitted.</summary>
    public const double Unknown = 2.5;

    private const double Never = -10;

    /// <summary>Told still, behind the others, with what speaks against it; below this it is ruled out.</summary>
    private const double Hardly = -5;

    /// <summary>Every cause that is not ruled out, the likeliest first; 'nothing known' stands where no other comes higher.</summary>
    public static IReadOnlyList<Candidate> Of(Episode episode, IReadOnlyDictionary<Channel, Course> courses, Happened happened) =>
        [.. All(episode, courses, happened).Where(one => one.Score > Hardly)];

    /// <summary>Also those that are ruled out, with what rules them out.</summary>
    internal static IReadOnlyList<Candidate> All(Episode episode, IReadOnlyDictionary<Channel, Course> courses, Happened happened)
    {
        var signs = new Signs(episode, courses);
        Candidate[] all =
        [
            new(Cause.NothingKnown, [new("what a cause must come to", Unknown)]),
            ProbeCauses.OutOfWater(signs), ProbeCauses.Calibration(signs, happened), ProbeCauses.Fouling(signs, happened), ProbeCauses.PowerCut(signs),
            WaterCauses.WaterChange(signs, happened), WaterCauses.TopOff(signs, happened), WaterCauses.Dose(signs, happened), WaterCauses.Drip(signs, happened),
            SlowCauses.Evaporation(signs, happened), SlowCauses.Overfeeding(signs, happened), SlowCauses.SaltCreep(signs),
            HeatCauses.Heater(signs), HeatCauses.Light(signs, happened),
        ];
        if (signs.Unrest > Swing.Wider) all = [.. all.Select(one => one.Cause is Cause.NothingKnown or Cause.ProbeOutOfWater ? one : new(one.Cause, [.. one.Evidence, Scatter(signs)]))];
        return [.. all.OrderByDescending(one => one.Score)];
    }

    private static Evidence Scatter(Signs signs) => new($"single readings scatter {Say(signs.Unrest)} times as wide, as no water makes them", -6);

    internal static Candidate Out(Cause cause, string why) => new(cause, [new(why, Never)]);

    /// <summary>Two figures that should be one: from 3 when they agree down to -4.</summary>
    internal static Evidence Agree(string what, double told, double expected, double sd, Func<double, string>? say = null) =>
        new($"{what}: {(say ?? Say)(told)} where {(say ?? Say)(expected)} is expected", Math.Max(-4, 3 - (0.5 * (told - expected) * (told - expected) / (sd * sd))));

    /// <summary>The book's note of a kind that lies nearest to the beginning, within so many hours.</summary>
    internal static Evidence Noted(Signs signs, Happened happened, double hours, params ReadOnlySpan<NoteKind> kinds)
    {
        var (at, began) = (signs.When, signs.Courses.Values.First().At(signs.Episode.At));
        Note? nearest = null;
        foreach (var note in happened.Notes)
        {
            if (kinds.Contains(note.Kind) && note.At is { } when && when < at.AddHours(hours) && when > at.AddHours(-hours) && !((when - began).Duration() >= (nearest?.At - began)?.Duration())) nearest = note;
        }

        return nearest is not null ? new($"the book says {NoteKinds.Name(nearest.Kind)} ({nearest.Id}) {Apart(nearest.At!.Value - began)}", 3) : new($"nothing of {NoteKinds.Name(kinds[0])} in the book within {Say(hours)} h", -0.5);
    }

    /// <summary>A quarter of an hour is as near as the beginning of a swing is known.</summary>
    internal static string Apart(TimeSpan later)
    {
        var apart = later.Duration();
        var side = later > TimeSpan.Zero ? "after" : "before";
        return apart < TimeSpan.FromMinutes(20) ? "at that time"
            : apart > TimeSpan.FromDays(1) ? string.Create(CultureInfo.InvariantCulture, $"{apart.TotalDays:0.#} days {side} it began")
            : $"{TimeWords.Span(apart.TotalSeconds)} {side} it began";
    }

    /// <summary>A change of conductivity, which is reckoned in logarithms, in % of what was before it.</summary>
    internal static string Percent(double size) => Say(DidWords.Told(Channel.TankConductivity, Figure.Level, size));

    internal static string Say(double value) => (Math.Abs(value) < 0.005 ? 0 : value).ToString("0.##", CultureInfo.InvariantCulture);
}
