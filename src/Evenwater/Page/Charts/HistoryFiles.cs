using System.Globalization;
using System.Text;
using System.Text.Json;
using Evenwater.Core;
using Evenwater.Exporting;
using Evenwater.Followers;

namespace Evenwater.Page.Charts;

/// <summary>What is shown, as a file for other programs. The readings themselves are written by `export`.</summary>
internal static class HistoryFiles
{
    /// <summary>RFC 4180: a row for each stretch of each line that was read, times in UTC, values in the unit that stands in the row.</summary>
    public static byte[] Csv(HistoryData data)
    {
        var text = new StringBuilder("time_utc,seconds,station,channel,unit,compared,readings,min,mean,max,last\r\n");
        foreach (var line in data.Lines)
        {
            var axis = line.Line.Axis;
            var beside = $"{CsvExport.Quoted(line.Of.Station)},{SiChannel.Of(line.Of.Channel).Name},{CsvExport.Quoted(ChannelLook.Of(line.Of.Channel).Unit)},{(line.IsCompared ? 1 : 0)}";
            for (var i = 0; i < axis.Count; i++)
            {
                if (line.Line.Bins[i] is not { } bin) continue;
                text.Append(CultureInfo.InvariantCulture, $"{axis.At(i).UtcDateTime:yyyy-MM-dd'T'HH:mm:ss.fff'Z'},{axis.Step.TotalSeconds},{beside},{bin.Count},{bin.Min:G9},{bin.Mean:G9},{bin.Max:G9},{bin.Last:G9}\r\n");
            }
        }

        return Encoding.UTF8.GetBytes(text.ToString());
    }

    /// <summary>RFC 8428, resolved records in SI units, in the order of their times as its section 4.6 asks: the mean of each stretch at its middle, under the names that are told over MQTT with /mean after them.</summary>
    public static byte[] SenMl(HistoryData data)
    {
        using var bytes = new MemoryStream();
        using (var json = new Utf8JsonWriter(bytes))
        {
            json.WriteStartArray();
            foreach (var (line, mean, at) in data.Lines.SelectMany(Means).OrderBy(record => record.At))
            {
                var si = SiChannel.Of(line.Of.Channel);
                json.WriteStartObject();
                json.WriteString("n", $"{MqttMessages.RootOf(line.Of.Station)}{si.Name}/mean");
                // A switch's mean is the share of the time that it was wet.
                json.WriteString("u", si.Unit ?? "/");
                json.WriteNumber("v", si.ToSi(mean));
                json.WriteNumber("t", at.ToUnixTimeMilliseconds() / 1000m);
                json.WriteEndObject();
            }

            json.WriteEndArray();
        }

        return bytes.ToArray();

        static IEnumerable<(HistoryLine Line, double Mean, DateTimeOffset At)> Means(HistoryLine line)
        {
            for (var i = 0; i < line.Line.Axis.Count; i++)
            {
                if (line.Line.Bins[i] is { } bin) yield return (line, bin.Mean, line.Line.Axis.At(i) + (line.Line.Axis.Step / 2));
            }
        }
    }
}
