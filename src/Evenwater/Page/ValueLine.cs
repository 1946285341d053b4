using Evenwater.Core.Telling;

namespace Evenwater.Page;

/// <summary>One value with its unit and age, or the reason there is none.</summary>
/// <param name="Label">What it is, such as "Vessel conductivity".</param>
/// <param name="Number">The value; null when there is none.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="AgeSeconds">How old it is, station s; null when it was never read.</param>
/// <param name="Reason">Why there is no value, or why it is not believed.</param>
public sealed record ValueLine(string Label, double? Number, string Unit, double? AgeSeconds, string? Reason = null)
{
    /// <summary>A word in place of a number, such as "dry".</summary>
    public string? Text { get; init; }

    /// <summary>Lower end of the 90 % range of an estimate.</summary>
    public double? P05 { get; init; }

    /// <summary>Upper end of the 90 % range of an estimate.</summary>
    public double? P95 { get; init; }

    /// <summary>Digits after the point.</summary>
    public int Decimals { get; init; }

    /// <summary>Older than this is stale, station s.</summary>
    public double StaleAfterSeconds { get; init; } = 30;

    /// <summary>Too old to rely on.</summary>
    public bool IsStale => !(AgeSeconds <= StaleAfterSeconds);

    /// <summary>The value as text, without its unit; a dash when there is none.</summary>
    public string Shown => Text ?? Figure(Number) ?? "–";

    /// <summary>The range of an estimate as text; null when there is none.</summary>
    public string? Range => Figure(P05) is { } low && Figure(P95) is { } high ? $"{low} to {high}" : null;

    /// <summary>The same value, read that much longer ago.</summary>
    public ValueLine Older(double seconds) => this with { AgeSeconds = AgeSeconds + seconds };

    private string? Figure(double? x) => x is { } value && double.IsFinite(value) ? value.ToString(DigitsForm.Of(Decimals)) : null;
}

/// <summary>A limit of a run and how much of it is used.</summary>
/// <param name="Label">What is limited, such as "Valve open".</param>
/// <param name="Used">Used so far.</param>
/// <param name="Limit">The limit.</param>
/// <param name="Unit">Unit of both.</param>
/// <param name="Decimals">Digits after the point.</param>
public sealed record Budget(string Label, double Used, double Limit, string Unit, int Decimals = 0)
{
    /// <summary>Such as "372 of 780 min".</summary>
    public string Shown => $"{Used.ToString(DigitsForm.Of(Decimals))} of {Limit.ToString(DigitsForm.Of(Decimals))} {Unit}";
}

/// <summary>An abnormal state that needs a person's act.</summary>
/// <param name="Title">What is wrong.</param>
/// <param name="Did">What the program did.</param>
/// <param name="Do">What the keeper is to do.</param>
/// <param name="ByWhen">By when, on the station's clock.</param>
public sealed record AlarmLine(string Title, string Did, string Do, DateTimeOffset? ByWhen = null)
{
    /// <summary>How soon, in words, where no clock was ever set. Not part of the interface's JSON.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public string? HowSoon { get; init; }

    /// <summary>Its name in commands.</summary>
    public string Name { get; init; } = "";

    /// <summary>Where it stands, in ISA-18.2's words.</summary>
    public string Standing { get; init; } = "unacknowledged";

    /// <summary>Whether it is wrong now, or latched; else it is only kept in mind.</summary>
    public bool Stands { get; init; } = true;

    /// <summary>Whether a person may say that they have seen it.</summary>
    public bool MayBeAcknowledged { get; init; }

    /// <summary>Whether a person may put it aside for a while.</summary>
    public bool MayBeShelved { get; init; }

    /// <summary>low, medium, high or critical.</summary>
    public string Priority { get; init; } = "medium";

    /// <summary>What comes of it if nothing is done.</summary>
    public string? Consequence { get; init; }

    /// <summary>Since when, on the station's clock.</summary>
    public DateTimeOffset? Since { get; init; }

    /// <summary>While shelved: until when.</summary>
    public DateTimeOffset? ShelvedUntil { get; init; }
}
