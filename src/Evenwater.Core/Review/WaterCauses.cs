using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review;

/// <summary>Water or salt came at once: what conductivity tells of how much, and what temperature tells, must agree.</summary>
internal static class WaterCauses
{
    /// <summary>Less than this share of what came is not what was added. Judged, not fitted.</summary>
    private const double Gone = 0.5;

    public static Candidate WaterChange(Signs signs, Happened happened)
    {
        var moved = signs.Settled;
        if (signs.Slow && !signs.TemperatureMoved) return Causes.Out(Cause.WaterChange, "it came slowly");
        List<Evidence> all = [Causes.Noted(signs, happened, 2, NoteKind.WaterChange)];
        if (moved is { } size && happened.NewMicrosiemensPerCm is { } fresh && signs.Conductivity?.Seen is { } seen && Math.Abs(1 - (fresh / seen)) > 0.02)
        {
            var byConductivity = (1 - Math.Exp(size / 100)) / (1 - (fresh / seen));
            // New water is known to some 3 %: common practice, no source.
            if (byConductivity < 0.04 || byConductivity > 1 + (2 * 0.03 / Math.Abs(1 - (fresh / seen)))) return Causes.Out(Cause.WaterChange, $"conductivity would mean {Causes.Say(100 * byConductivity)} % of the water");
            all.Add(new($"conductivity would mean {Causes.Say(100 * byConductivity)} % of the water", 1.5));
            all.Add(Stays(signs, size));
            if (signs.Temperature is { Busy: false, Seen: { } celsius } && signs.Peak is { } peak && happened.NewCelsius is { } newCelsius && Math.Abs(celsius - newCelsius) > 1)
            {
                // The heater takes back part of it while the water still flows: a third of doubt. Common practice, no source.
                var byTemperature = peak / (newCelsius - celsius);
                all.Add(Causes.Agree("by temperature the share", byTemperature, 0.85 * byConductivity, (0.3 * byConductivity) + (2 * signs.TemperatureSd / Math.Abs(celsius - newCelsius))));
            }

            // Several buckets are one change: each leaves its share of what the one before left.
            double[] buckets = [.. Near(signs, happened, NoteKind.WaterChange).Select(note => note.Litres).OfType<double>()];
            if (buckets.Length > 0) all.Add(Causes.Agree("by the book's litres the share", byConductivity, 1 - buckets.Aggregate(1.0, (left, litres) => left * (1 - Math.Min(1, litres / happened.TankLitres))), 0.1));
        }
        else if (!(signs.ConductivityMoved && signs.TemperatureMoved)) return Causes.Out(Cause.WaterChange, "conductivity and temperature did not move together");
        else all.Add(new("conductivity and temperature moved together", 1.5));

        return new(Cause.WaterChange, all);
    }

    public static Candidate TopOff(Signs signs, Happened happened)
    {
        var moved = signs.Settled;
        if (moved is not { } size || size >= -2 * signs.ConductivitySd || signs.Slow || size < -12) return Causes.Out(Cause.TopOff, "conductivity did not fall at once by a few per cent");
        var share = 1 - (signs.Conductivity!.Seen is > 0 and var was ? Standing.SaltMeasure.Ratio(was, size) : Math.Exp(size / 100));
        List<Evidence> all = [Causes.Noted(signs, happened, 2, NoteKind.TopOff), new($"conductivity would mean {Causes.Say(share * happened.TankLitres)} L of fresh water", 1)];
        all.Add(Stays(signs, size));
        if (signs.Temperature is { Busy: false, Seen: { } celsius } && signs.Peak is { } peak) all.Add(Causes.Agree("temperature, °C", peak, -0.8 * share * (celsius - (happened.RoomCelsius ?? celsius - 4)), (2 * signs.TemperatureSd) + 0.03));
        return new(Cause.TopOff, all);
    }

    public static Candidate Dose(Signs signs, Happened happened)
    {
        var moved = signs.Settled;
        if (moved is not { } size || size <= 2 * signs.ConductivitySd || signs.Slow) return Causes.Out(Cause.Dose, "conductivity did not rise at once");
        return new(Cause.Dose,
        [
            Causes.Noted(signs, happened, 2, NoteKind.Dose, NoteKind.Medication), new($"conductivity rose by {Causes.Percent(size)} % within hours", 2.5),
            new(signs.TemperatureMoved ? $"temperature moved by {Causes.Say(signs.Peak ?? 0)} °C" : "temperature did not move", signs.TemperatureMoved ? -3 : 1),
            Stays(signs, size),
        ]);
    }

    public static Candidate Drip(Signs signs, Happened happened)
    {
        if (!signs.ConductivityMoved) return Causes.Out(Cause.SourceDrip, "conductivity did not move");
        var at = signs.When;
        // What is taken out and not replaced leaves the rest as it was.
        foreach (var run in happened.Runs.Where(run => run.Replaced))
        {
            if (signs.Courses.Values.First().At(signs.Told) < run.From || at > run.To.AddHours(0.75)) continue;
            var course = signs.Courses.GetValueOrDefault(Channel.TankConductivity);
            var point = course?.PointOf(run.To) ?? 0;
            var before = course?.PointOf(run.From) ?? 0;
            var whole = course?.Median(point + 1, point + 9) - course?.Median(before - 12, before);
            // What is replaced as it drips leaves e^(-litres / tank's) of what was there, as of any vessel that is stirred.
            List<Evidence> all = [new($"a run dripped {Causes.Say(run.Litres)} L out of the tank meanwhile", 3)];
            if (whole is { } size) all.Add(Causes.Agree("over it, % of conductivity", size, -100 * run.Litres / happened.TankLitres, (2 * signs.ConductivitySd) + (0.3 * 100 * run.Litres / happened.TankLitres), Causes.Percent));
            return new(Cause.SourceDrip, all);
        }

        return Causes.Out(Cause.SourceDrip, "no run was on whose water was replaced");
    }

    /// <summary>Salt that was added stays; what is gone half a day later was none, nor what was gone after some hours of what came within the first.</summary>
    public static Evidence Stays(Signs signs, double size)
    {
        var most = signs.Conductivity?.Quick is { } quick && Math.Abs(quick) > Math.Abs(size) ? quick : size;
        Evidence Left(string when, double later) => new($"{when} later it is {Causes.Percent(later)} % beside what it was", (later / most) switch { < Gone => -4, < 1.8 => 1, _ => 0 });
        return signs.Conductivity?.After(10, 16) is { } half ? Left("half a day", half)
            : size / most < Gone ? Left("some hours", size)
            : new("too little after it to tell whether it stayed", 0);
    }

    private static IEnumerable<Note> Near(Signs signs, Happened happened, NoteKind kind)
    {
        var at = signs.When;
        return happened.Notes.Where(note => note.Kind == kind && note.At is { } when && Math.Abs((when - at).TotalHours) < 2);
    }
}
