using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.Keeping;

namespace Evenwater.Page.Journal;

/// <summary>A note as it was typed into the journal's form. What may stand in it is for the book's own rules; here it is only read.</summary>
internal static class NoteEntry
{
    private const string Figure = "a number";

    /// <summary>The note; fields that are not of its kind are not looked at. What can not be read is refused in the form.</summary>
    /// <param name="typed">The form.</param>
    /// <param name="kind">Its kind.</param>
    /// <param name="former">The note that it corrects, or null.</param>
    /// <param name="zone">This place's clock.</param>
    /// <param name="now">What the station's clock says.</param>
    public static Note Read(TypedForm typed, NoteKind kind, Note? former, TimeZoneInfo zone, DateTimeOffset now)
    {
        var amount = NoteKinds.Units(kind).Count > 0 ? typed.Number("amount", $"above 0, to {NoteRules.MostAmount:0}") : null;
        return new Note
        {
            Kind = kind,
            Corrects = former?.Id,
            At = At(typed, former, zone, now),
            By = typed.Text("by") ?? "",
            Text = typed.Text("text") ?? "",
            Litres = NoteKinds.HasLitres(kind) ? typed.Number("litres", $"above 0, to {NoteRules.MostLitres:0} L") : null,
            Amount = amount,
            Unit = amount is null ? null : typed.Text("unit"),
            Test = kind == NoteKind.Test ? Test(typed) : null,
            Observation = kind == NoteKind.Observation && Sights.Named(typed.Text("sight")) is { } sight ? new Observation(sight, typed.Count("sightStep", "1 to 5") ?? 0) : null,
            Trouble = kind == NoteKind.Trouble ? Trouble(typed) : null,
            Photographs = typed.Text("keep") == "0" ? [] : former?.Photographs,
        };
    }

    /// <summary>When it happened: null for now. A time that stands to the minute as it stood before is the one before, to the second.</summary>
    internal static DateTimeOffset? At(TypedForm typed, Note? former, TimeZoneInfo zone, DateTimeOffset now)
    {
        if (typed.Text("at") is not { } text) return former?.At;
        if (former?.At is { } before && text == Shown(before, zone)) return before;
        var (time, problem) = KeptTime.Read("at", text, zone, now);
        if (problem?.Split(": ", 2)[^1] is [var first, .. var rest]) typed.Refuse("at", "a time of this place, such as 19:30 (today) or 2026-03-14T19:30", $"{char.ToUpperInvariant(first)}{rest}");
        return time;
    }

    /// <summary>A time as a field for dates and times holds it (HTML, "valid local date and time string").</summary>
    internal static string Shown(DateTimeOffset time, TimeZoneInfo zone) => TimeZoneInfo.ConvertTime(time, zone).ToString("yyyy-MM-dd'T'HH:mm", System.Globalization.CultureInfo.InvariantCulture);

    private static ManualTest? Test(TypedForm typed)
    {
        if (typed.Number("value", Figure) is not { } value) return null;
        if (Substances.Named(typed.Text("of")) is { } of) return new ManualTest { Of = of, Value = value, Step = typed.Number("step", Figure) ?? 0, Below = typed.Text("below") is not null };
        typed.Refuse("of", string.Join(", ", Substances.Symbols), "Say what was tested.");
        return null;
    }

    private static TroublePart? Trouble(TypedForm typed) => typed.Text("troubleStep") switch
    {
        "opened" => new TroublePart(TroubleStep.Opened, typed.Text("troubleName")),
        "tried" => new TroublePart(TroubleStep.Tried, Of: typed.Text("troubleOf")),
        "closed" => new TroublePart(TroubleStep.Closed, Of: typed.Text("troubleOf")),
        _ => null,
    };
}
