using System.Globalization;
using Evenwater.Keeping;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Looking;

/// <summary>Reads the fields of a form of the address, and keeps what was refused.</summary>
internal sealed class LookFields(IQueryCollection query, TimeZoneInfo zone, DateTimeOffset now)
{
    private readonly List<FieldRefusal> _refused = [];

    /// <summary>What was not taken.</summary>
    public IReadOnlyList<FieldRefusal> Refused => _refused;

    /// <summary>All that was typed.</summary>
    public IReadOnlyDictionary<string, string> Kept { get; } = query.ToDictionary(one => one.Key, one => one.Value.ToString());

    /// <summary>A text; null when it was left empty.</summary>
    public string? Text(string field) => Kept.TryGetValue(field, out var typed) && typed.Trim().Length > 0 ? typed.Trim() : null;

    /// <summary>A time of this place; null when it was left empty or refused.</summary>
    public DateTimeOffset? Time(string field)
    {
        if (Text(field) is not { } typed) return null;
        var (time, wrong) = KeptTime.Read(field, typed, zone, now);
        if (wrong is not null) _refused.Add(new(field, typed, $"a time {KeptTime.Years}: 2026-03-14T19:30 (this place's), 2026-03-14T19:30Z or +01:00, 2026-03-14, or 19:30 for today", KeptTime.Changed(typed, zone, now)));
        return time;
    }

    /// <summary>A whole number; null when it was left empty or refused.</summary>
    public int? Whole(string field, string unit, int least, int most)
    {
        if (Text(field) is not { } typed) return null;
        if (int.TryParse(typed, NumberStyles.None, CultureInfo.InvariantCulture, out var value) && value >= least && value <= most) return value;
        _refused.Add(new(field, typed, $"a whole number from {least} to {most} {unit}"));
        return null;
    }

    /// <summary>Refuses a field.</summary>
    public void Refuse(FieldRefusal refusal) => _refused.Add(refusal);
}
