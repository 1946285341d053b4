namespace Evenwater.Core.Standing;

/// <summary>Something that was put in, or water that was exchanged.</summary>
/// <param name="At">When.</param>
/// <param name="AddedPerLitre">What a dose adds, in its unit per litre of the tank; 0 for a water change.</param>
/// <param name="ExchangedShare">Share of the tank's water that was exchanged, 0 to 1; 0 for a dose.</param>
public readonly record struct DoseStep(DateTimeOffset At, double AddedPerLitre, double ExchangedShare);

/// <summary>
/// What is left of doses after water changes: each change leaves 1 - f of what was there. Nothing is used up or precipitates: what animals, plants and stones take
/// makes it less, so it is the most that can be there.
/// </summary>
public static class DoseBalance
{
    /// <summary>The course, one value after each step, in the doses' unit per litre.</summary>
    /// <param name="steps">In any order; doses and changes of one instant as they are given.</param>
    public static IReadOnlyList<(DateTimeOffset At, double PerLitre)> Course(IEnumerable<DoseStep> steps)
    {
        ArgumentNullException.ThrowIfNull(steps);
        var there = 0.0;
        var course = new List<(DateTimeOffset, double)>();
        foreach (var step in steps.OrderBy(step => step.At))
        {
            there = (there * (1 - Share(step.ExchangedShare))) + NotNegative(step.AddedPerLitre, nameof(steps));
            course.Add((step.At, there));
        }

        return course;
    }

    /// <summary>
    /// Where equal doses and equal changes lead, each with a period of its own: what comes in between two changes, d Tc / Td, is what a change takes, f of what is there
    /// before it. So it comes to d Tc / (f Td) before each change and falls to 1 - f of that; null without changes.
    /// </summary>
    /// <param name="dosePerLitre">Each dose, per litre of the tank, 0 or more.</param>
    /// <param name="doseEveryDays">From one to the next, days, more than 0.</param>
    /// <param name="exchangedShare">Each change, 0 to 1.</param>
    /// <param name="changeEveryDays">From one to the next, days, more than 0.</param>
    public static (double AfterChange, double BeforeChange)? Swing(double dosePerLitre, double doseEveryDays, double exchangedShare, double changeEveryDays)
    {
        if (!(doseEveryDays > 0)) throw new ArgumentOutOfRangeException(nameof(doseEveryDays), doseEveryDays, "Allowed: more than 0 days.");
        if (!(changeEveryDays > 0)) throw new ArgumentOutOfRangeException(nameof(changeEveryDays), changeEveryDays, "Allowed: more than 0 days.");
        var share = Share(exchangedShare);
        if (!(share > 0)) return null;
        var most = NotNegative(dosePerLitre, nameof(dosePerLitre)) * changeEveryDays / (share * doseEveryDays);
        return (most * (1 - share), most);
    }

    private static double Share(double share) => share is >= 0 and <= 1
        ? share
        : throw new ArgumentOutOfRangeException(nameof(share), share, "Allowed: 0 to 1.");

    private static double NotNegative(double value, string name) => value >= 0 && double.IsFinite(value)
        ? value
        : throw new ArgumentOutOfRangeException(name, value, "Allowed: 0 or more.");
}
