using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Log;

namespace Evenwater.Followers;

/// <summary>
/// A cycle as SenML JSON (RFC 8428): SI units, one record a channel, times absolute and relative to the cycle's.
/// A missing value is a record NAME/missing whose string is the reason.
/// </summary>
internal static class SenMl
{
    public const string MediaType = "application/senml+json";

    /// <summary>The pack of one cycle.</summary>
    /// <param name="entry">The cycle.</param>
    /// <param name="station">The station as it was configured then.</param>
    /// <param name="baseName">Put before every name; makes it unique in the world of one broker.</param>
    public static byte[] Of(Entry entry, Station station, string baseName)
    {
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream))
        {
            json.WriteStartArray();
            json.WriteStartObject();
            json.WriteString("bn", baseName);
            if (entry.Wall is { } wall)
            {
                // Without a base time, times are relative to now (RFC 8428, section 4.5.3), which is what an unset clock can say.
                json.WriteNumber("bt", wall.ToUnixTimeMilliseconds() / 1000m);
            }

            json.WriteString("n", "sequence");
            json.WriteString("u", "count");
            json.WriteNumber("v", entry.Id);
            json.WriteEndObject();
            if (entry.ClockQuality == ClockQuality.Simulated)
            {
                json.WriteStartObject();
                json.WriteString("n", "simulated");
                json.WriteBoolean("vb", true);
                json.WriteEndObject();
            }

            var readings = Calibrate.Apply(entry.Samples ?? RawSamples.None(), station.Sensors);
            for (var channel = default(Channel); (int)channel < Channels.Count; channel++)
            {
                Write(json, channel, readings[channel], entry.At);
            }

            json.WriteEndArray();
        }

        return stream.ToArray();
    }

    /// <summary>The same records with full names and absolute times, each by its own. The cycle must have a wall time.</summary>
    public static void WriteResolved(Utf8JsonWriter json, Entry entry, Station station, IReadOnlyList<Channel> channels)
    {
        var baseName = MqttMessages.RootOf(entry.Station);
        var milliseconds = entry.Wall!.Value.ToUnixTimeMilliseconds();
        json.WriteStartObject();
        json.WriteString("n", $"{baseName}sequence");
        json.WriteString("u", "count");
        json.WriteNumber("v", entry.Id);
        End(json, milliseconds);
        if (entry.ClockQuality == ClockQuality.Simulated)
        {
            json.WriteStartObject();
            json.WriteString("n", $"{baseName}simulated");
            json.WriteBoolean("vb", true);
            End(json, milliseconds);
        }

        var readings = Calibrate.Apply(entry.Samples ?? RawSamples.None(), station.Sensors);
        foreach (var channel in channels)
        {
            if (readings[channel].Reason != Reason.NotFitted)
            {
                Begin(json, baseName, channel, readings[channel]);
                End(json, milliseconds + AgeMilliseconds(readings[channel], entry.At));
            }
        }
    }

    private static void Write(Utf8JsonWriter json, Channel channel, in Reading reading, MonotonicTime at)
    {
        if (reading.Reason != Reason.NotFitted)
        {
            Begin(json, "", channel, reading);
            End(json, AgeMilliseconds(reading, at));
        }
    }

    /// <summary>Zero or less: from the cycle to when the device was read.</summary>
    private static long AgeMilliseconds(in Reading reading, MonotonicTime at) => (reading.TakenAt.Nanoseconds - at.Nanoseconds) / 1_000_000;

    private static void Begin(Utf8JsonWriter json, string baseName, Channel channel, in Reading reading)
    {
        var si = SiChannel.Of(channel);
        json.WriteStartObject();
        if (!reading.TryGet(out var value))
        {
            json.WriteString("n", $"{baseName}{si.Name}/missing");
            json.WriteString("vs", JsonNamingPolicy.KebabCaseLower.ConvertName(reading.Reason.ToString()));
        }
        else if (si.Unit is null)
        {
            json.WriteString("n", $"{baseName}{si.Name}");
            json.WriteBoolean("vb", value != 0);
        }
        else
        {
            json.WriteString("n", $"{baseName}{si.Name}");
            json.WriteString("u", si.Unit);
            json.WriteNumber("v", si.ToSi(value));
        }
    }

    private static void End(Utf8JsonWriter json, long milliseconds)
    {
        if (milliseconds != 0)
        {
            json.WriteNumber("t", milliseconds / 1000m);
        }

        json.WriteEndObject();
    }
}
