using System.Text;
using Evenwater.Core.Calibration;
using Evenwater.Keeping;
using Evenwater.Log;

namespace Evenwater.Calibrating;

/// <summary>A cell's record between a calibration and the check at its end, corrected in a straight line between both, as CSV for a person; changes nothing.</summary>
internal static class DriftFile
{
    /// <summary>Most rows; a longer record is told in means.</summary>
    private const int MostRows = 20_000;

    /// <summary>The file, or why there is none.</summary>
    /// <param name="folder">The log's.</param>
    /// <param name="station">The station's name.</param>
    /// <param name="probe">Which cell.</param>
    /// <param name="standing">The calibrations and checks that stand, oldest first.</param>
    /// <param name="zone">Of the times in a refusal.</param>
    public static (string? Text, string? Problem) Of(string folder, string station, CalibratedProbe probe, IReadOnlyList<CalibrationRecord> standing, TimeZoneInfo zone)
    {
        var own = standing.Where(record => record.Probe == probe.Name).ToList();
        var place = own.FindLastIndex(record => record.Drift is not null);
        if (place < 1)
        {
            return (null, $"{(place < 0 ? "No check" : "No calibration before the check")} of {probe.Name} stands in the book of {station}: 'evenwater calibrate {station} {probe.Name}{(place < 0 ? " --check" : "")}' makes one.");
        }

        var (from, check) = (own[place - 1].At, own[place]);
        if (check.At <= from)
        {
            return (null, $"The check of {probe.Name} is dated {KeptTime.Text(check.At, zone)}, no later than the calibration before it: there is nothing between them to correct.");
        }

        using var history = new History(folder);
        var past = history.Read(station, [probe.Channel], from, check.At, MostRows);
        var readings = past.Series[probe.Channel].Select(bucket => (DateTimeOffset.FromUnixTimeMilliseconds(bucket.StartMs), bucket.Mean)).Where(r => r.Item1 >= from).ToList();
        if (history.Damaged > 0)
        {
            return (null, $"Not corrected: {string.Join(' ', DamagedRows.Say(history.Damaged))}");
        }

        if (readings.Count == 0)
        {
            return (null, $"No reading of {probe.Name} between {KeptTime.Text(from, zone)} and {KeptTime.Text(check.At, zone)} is in the log: there is nothing to correct.");
        }

        var outcome = DriftReview.Of(check.Drift!.Kind, check.Drift.Check, from, check.At, readings, own[place - 1].Values.Count > 0 ? null : own[place - 1].Drift?.Check);
        if (outcome.Found is not { } review)
        {
            return (null, $"Not corrected: {outcome.Refusal}");
        }

        var text = new StringBuilder("time_utc,read_us_per_cm,without_fouling_us_per_cm,corrected_us_per_cm\r\n");
        foreach (var reading in review.Readings)
        {
            text.Append($"{reading.At.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'},{reading.Raw:0.###},{reading.WithoutFouling:0.###},{reading.Corrected:0.###}\r\n");
        }

        return (text.ToString(), null);
    }
}
