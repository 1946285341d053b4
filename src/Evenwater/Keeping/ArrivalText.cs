using Evenwater.Core.Keeping;

namespace Evenwater.Keeping;

/// <summary>Arrivals and outcomes in words.</summary>
internal static class ArrivalText
{
    /// <summary>An arrival, its outcomes, what is due and what is to come; a line each.</summary>
    public static IEnumerable<string> Of(Came came, TimeZoneInfo zone, DateTimeOffset now)
    {
        yield return BookText.Line(came.Note, zone);
        foreach (var outcome in came.Outcomes)
        {
            yield return $"      {BookText.Line(outcome, zone)}";
        }

        foreach (var (look, at) in came.Due(now))
        {
            yield return $"      DUE since {KeptTime.Text(at, zone)}: look at them, then evenwater arrival --outcome {Name(look)} --of {came.Note.Id} --alive N --dead N";
        }

        foreach (var (look, at) in came.ToCome(now))
        {
            yield return $"      {Name(look)} is due at {KeptTime.Text(at, zone)}";
        }

        if (came.IsOpen)
        {
            yield return "      not released yet";
        }
    }

    /// <summary>What came, in one line.</summary>
    public static string Words(ArrivalRecord animals) => string.Join(", ", new[]
    {
        $"{animals.Count} x {animals.Species}",
        Figure(animals.Grams, "g together"),
        animals.Group is { } group ? AnimalGroups.Name(group) : "",
        Figure(animals.HoursInTransit, "h in transit"),
        Figure(animals.MicrosiemensPerCm, "µS/cm"),
        Figure(animals.Celsius, "°C"),
        animals.Ph is { } ph ? $"pH {Number(ph)}" : "",
        Figure(animals.TotalAmmoniaMilligramsPerLitre, "mg/L ammonia"),
        Figure(animals.NitriteMilligramsPerLitre, "mg/L nitrite"),
    }.Where(part => part.Length > 0));

    /// <summary>How they were found, in one line.</summary>
    public static string Words(OutcomeRecord outcome) =>
        $"{Name(outcome.Look)}: alive {outcome.Alive?.ToString() ?? "not counted"}, dead {outcome.Dead?.ToString() ?? "not counted"}";

    /// <summary>A look's name in commands.</summary>
    public static string Name(Look look) => look switch
    {
        Look.Release => "release",
        Look.Day => "24h",
        Look.Week => "7d",
        _ => throw new ArgumentOutOfRangeException(nameof(look), look, "no name for this look"),
    };

    private static string Figure(double? value, string unit) => value is { } known ? $"{Number(known)} {unit}" : "";

    private static string Number(double value) => value.ToString("0.###");
}
