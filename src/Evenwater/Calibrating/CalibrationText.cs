using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Running;

namespace Evenwater.Calibrating;

/// <summary>Calibrations in sentences.</summary>
internal static class CalibrationText
{
    /// <summary>What a calibration would change, a line each.</summary>
    public static IEnumerable<string> Changes(IEnumerable<CalibratedValue> values) => values.Select(value =>
        $"  {value.Key}: {(value.Before is { } before ? Number(before, value.Sd) : "nothing")} → {Number(value.After, value.Sd)} {value.Unit}{(value.Sd > 0 ? $", known to {Number(value.Sd, value.Sd)}" : "")}");

    /// <summary>By what a station is read otherwise than before, one key each.</summary>
    public static IEnumerable<string> Between(Station before, Station after, Func<CalibratedKey, bool>? which = null) => CalibrationsInForce.Changes(before, after)
        .Where(change => which?.Invoke(change.Key) ?? true)
        .Select(change => $"{change.Key.Name} {change.Before:0.######} → {change.After:0.######} {change.Key.Unit}");

    /// <summary>How a probe's calibration stands; overdue is not good.</summary>
    public static (bool? Good, string Text) Standing(string station, CalibratedProbe probe, IEnumerable<CalibrationDue> due, DateTimeOffset? now) =>
        due.FirstOrDefault(d => d.Probe == probe.Name) is not { } last
            ? (null, $"never; 'evenwater calibrate {station} {probe.Name}'")
            : now >= last.Due
                ? (false, $"{Of(last)}, OVERDUE since {last.Due:yyyy-MM-dd}: 'evenwater calibrate {station} {probe.Name}'")
                : (true, $"{Of(last)}, due again on {last.Due:yyyy-MM-dd}");

    /// <summary>A check changes nothing: told as a calibration, a probe that nobody ever calibrated would have one.</summary>
    private static string Of(CalibrationDue last) => $"{(last.Checked ? "checked on" : "of")} {last.At:yyyy-MM-dd}";

    /// <summary>Those that are overdue, in a sentence; null when none is.</summary>
    public static string? Overdue(IEnumerable<CalibrationDue> due, DateTimeOffset? now)
    {
        var late = due.Where(d => now >= d.Due).Select(d => $"{d.Probe} since {d.Due:yyyy-MM-dd}").ToList();
        return late.Count == 0 ? null : $"calibration overdue: {string.Join(", ", late)}";
    }

    /// <summary>Every calibration and check in the book, or of one probe, taken-back ones too, oldest first. In one cup with the other each of a pair is calibrated too.</summary>
    public static IEnumerable<string> History(Book book, CalibratedProbe? probe, TimeZoneInfo zone) =>
        from matter in book.Matters
        let note = matter.Said
        let record = note.Calibration
        where record is not null && (probe is null || record.Probe == probe.Name || (record.Probe == CalibratedProbe.Both.Name && probe.Channel is Channel.VesselConductivity or Channel.TankConductivity or Channel.VesselTemperature or Channel.TankTemperature))
        select string.Join(
            '\n',
            ((string[])[$"{note.Id,-5} {KeptTime.Text(note.At, zone)}  {record.Probe}, {record.By}{(matter.Withdrawn ? "  (taken back)" : "")}{(record.Note.Length > 0 ? $": {record.Note}" : "")}"])
            .Concat(Changes(record.Values).Select(line => $"    {line}"))
            .Append($"      due again on {record.Due:yyyy-MM-dd}"));

    /// <summary>As finely as it is known: to the second figure of its standard deviation.</summary>
    private static string Number(double value, double sd) =>
        Math.Round(value, sd > 0 ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(sd)), 0, 6) : 6).ToString("0.######");
}
