using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Log;
using InfluxDB.Client.Api.Domain;
using InfluxDB.Client.Writes;

namespace Evenwater.Followers;

/// <summary>
/// One point for each entry. Measurements: reading, forecast, event. Tags: station, and the kind of an event.
/// Numbers are fields in SI units; a missing value is a field that names the reason.
/// </summary>
internal static class InfluxPoints
{
    /// <summary>
    /// A point's time, ns. The log's times are whole milliseconds; the digits below carry the entry's number, so that two
    /// entries of one millisecond stay two points, and the same entry sent twice stays one.
    /// </summary>
    public static long Nanoseconds(Entry entry) => (entry.Wall!.Value.ToUnixTimeMilliseconds() * 1_000_000) + (entry.Id % 1_000_000);

    /// <summary>The point of an entry that has a wall time.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="station">The station as it was configured then.</param>
    /// <param name="channels">The channels that are told of a cycle; null for all.</param>
    public static PointData Of(Entry entry, Station station, IReadOnlyList<Channel>? channels = null)
    {
        var point = entry.Kind switch
        {
            EntryKind.Cycle => Reading(entry, station, channels),
            EntryKind.Forecast => Forecast(LogJson.Read<ForecastBody>(entry.Body!)),
            _ => PointData.Builder.Measurement("event").Tag("kind", Lower(entry.Kind)).Field("body", entry.Body ?? ""),
        };
        point = entry.RunId is { } run ? point.Field("run", run) : point;
        return point
            .Tag("station", entry.Station)
            .Field("entry", entry.Id)
            .Field("clock", Lower(entry.ClockQuality))
            .Timestamp(Nanoseconds(entry), WritePrecision.Ns)
            .ToPointData();
    }

    private static PointData.Builder Reading(Entry entry, Station station, IReadOnlyList<Channel>? channels)
    {
        var point = PointData.Builder.Measurement("reading");
        var readings = Calibrate.Apply(entry.Samples ?? RawSamples.None(), station.Sensors);
        for (var channel = default(Channel); (int)channel < Channels.Count; channel++)
        {
            if (channels is not null && !channels.Contains(channel))
            {
                continue;
            }

            var reading = readings[channel];
            var name = SiChannel.Of(channel);
            if (!reading.TryGet(out var value))
            {
                point = reading.Reason == Reason.NotFitted ? point : point.Field($"{name.Name}_reason", Lower(reading.Reason));
            }
            else
            {
                point = Channels.IsSwitch(channel) ? point.Field(name.Field, value != 0) : point.Field(name.Field, name.ToSi(value));
            }
        }

        return point;
    }

    private static PointData.Builder Forecast(ForecastBody body)
    {
        // 1 L = 1e-3 m3; 1 mL/min = 1e-6 m3 / 60 s.
        var point = PointData.Builder.Measurement("forecast")
            .Field("volume_p05_m3", body.VolumeP05Litres / 1e3)
            .Field("volume_p50_m3", body.VolumeP50Litres / 1e3)
            .Field("volume_p95_m3", body.VolumeP95Litres / 1e3)
            .Field("flow_p05_m3_per_s", body.FlowP05MillilitresPerMinute / 6e7)
            .Field("flow_p50_m3_per_s", body.FlowP50MillilitresPerMinute / 6e7)
            .Field("flow_p95_m3_per_s", body.FlowP95MillilitresPerMinute / 6e7)
            .Field("matched_probability", body.MatchedProbability)
            .Field("brim_probability", body.BrimProbability)
            .Field("replaced_p05", body.ReplacedP05)
            .Field("replaced_p50", body.ReplacedP50)
            .Field("replaced_p95", body.ReplacedP95)
            .Field("health", Lower(body.Health));
        foreach (var (name, value) in new[]
        {
            ("match_p05_s", body.MatchP05Seconds), ("match_p50_s", body.MatchP50Seconds), ("match_p95_s", body.MatchP95Seconds),
            ("brim_p05_s", body.BrimP05Seconds), ("brim_p50_s", body.BrimP50Seconds), ("brim_p95_s", body.BrimP95Seconds),
            ("temperature_match_p50_s", body.TemperatureMatchP50Seconds),
            ("joint_match_p05_s", body.JointMatchP05Seconds), ("joint_match_p50_s", body.JointMatchP50Seconds), ("joint_match_p95_s", body.JointMatchP95Seconds),
            ("settling_p50_celsius", body.SettlingP50Celsius),
        })
        {
            point = value is { } known ? point.Field(name, known) : point;
        }

        return body.Recognised is { } events ? point.Field("recognised", events) : point;
    }

    /// <summary>NoAnswer becomes no-answer.</summary>
    private static string Lower<T>(T value)
        where T : struct, Enum => System.Text.Json.JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());
}
