using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>A station as its file has it, with what its calibrations have come to since: pure, so that the same file and records give the same station.</summary>
public static class CalibrationsInForce
{
    /// <summary>The station with every calibration over its file, the latest of each key last. One that the station's rules refuse, or that is about a part no longer fitted, is left out whole and told.</summary>
    /// <param name="file">As the station file has it.</param>
    /// <param name="oldestFirst">Records that stand, in the order they were made.</param>
    /// <param name="leftOut">Of each record that was left out: why, as a sentence.</param>
    public static Station Over(Station file, IEnumerable<CalibrationRecord> oldestFirst, out IReadOnlyList<string> leftOut)
    {
        var told = new List<string>();
        var station = file;
        foreach (var record in oldestFirst)
        {
            if (With(station, record, out var why) is { } changed) station = changed;
            else told.Add($"The calibration of {record.Probe} on {record.At:yyyy-MM-dd} is left out: {why}");
        }

        leftOut = told;
        return station;
    }

    /// <summary>The station with one calibration more; null, and why, when it can not be so.</summary>
    public static Station? With(Station station, CalibrationRecord record, out string? why)
    {
        why = null;
        var changed = station;
        foreach (var value in record.Values)
        {
            if (CalibratedKeys.Named(value.Key) is not { } key || key.Get(station) is null)
            {
                why = $"{value.Key} is nothing that this station has.";
                return null;
            }

            changed = key.With(changed, value.After);
        }

        var known = StationRules.Check(station);
        if (StationRules.Check(changed).FirstOrDefault(p => !known.Contains(p)) is { Key: not null } problem)
        {
            why = problem.ToString();
            return null;
        }

        return changed;
    }

    /// <summary>
    /// The pair in one cup that was matched to a calibration of the vessel's probe or thermometer: without that, the tank's would go on agreeing with what the vessel's no longer reads, and the spread would say that both agree.
    /// Null when there is none, or when a later calibration holds in its place.
    /// </summary>
    /// <param name="vessels">A calibration that is to be taken back.</param>
    /// <param name="standing">All that stand, in the order they were made.</param>
    public static CalibrationRecord? MatchedTo(CalibrationRecord vessels, IEnumerable<CalibrationRecord> standing)
    {
        var since = standing.SkipWhile(record => record != vessels).Skip(1).ToList();
        var holds = vessels.Values.Any(value => value.Key.StartsWith("sensors.vessel", StringComparison.Ordinal) && !since.Any(record => record.Values.Any(other => other.Key == value.Key)));
        return holds ? since.FindLast(record => record.Probe == "both") : null;
    }

    /// <summary>The station with the calibrated values that another has, where it has those parts as well: a run goes on by what it began with, whatever was calibrated or written since.</summary>
    /// <param name="station">As it is now.</param>
    /// <param name="atTheTime">As it was when the run began.</param>
    public static Station AsIn(Station station, Station atTheTime)
    {
        foreach (var key in CalibratedKeys.All)
        {
            if (key.Get(atTheTime) is { } value && key.Get(station) is { } now && now != value) station = key.With(station, value);
        }

        return station;
    }

    /// <summary>The calibrated values in which two stations differ.</summary>
    public static IEnumerable<(CalibratedKey Key, double Before, double After)> Changes(Station before, Station after)
        => from key in CalibratedKeys.All
           let was = key.Get(before)
           let now = key.Get(after)
           where was is not null && now is not null && was != now
           select (key, was.Value, now.Value);
}
