using System.Globalization;
using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Exporting;

/// <summary>
/// A row for each cycle (RFC 4180: a header, lines that end in CR LF, quotes where a field needs them). Values stand in the keeper's units, which the
/// column's name says; beside each a column with the reason when there is none.
/// </summary>
internal sealed class CsvExport(TextWriter writer, IReadOnlyList<Channel> channels) : IExport
{
    public bool CyclesAlone => true;

    public bool TellsUndated => true;

    public void Begin()
    {
        writer.Write("entry,time_utc,clock,station,run,valve_open");
        foreach (var channel in channels)
        {
            writer.Write($",{Column(channel)},{SiChannel.Of(channel).Name}_reason");
        }

        writer.Write("\r\n");
    }

    public void Write(Entry entry, Station station)
    {
        var time = entry.Wall?.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);
        writer.Write($"{entry.Id},{time},{Kebab(entry.ClockQuality)},{Quoted(entry.Station)},{entry.RunId},{ValveOpen(entry)}");
        var readings = Calibrate.Apply(entry.Samples ?? RawSamples.None(), station.Sensors);
        foreach (var channel in channels)
        {
            writer.Write(readings[channel].TryGet(out var value)
                ? string.Create(CultureInfo.InvariantCulture, $",{value},")
                : $",,{Kebab(readings[channel].Reason)}");
        }

        writer.Write("\r\n");
    }

    public void End()
    {
    }

    /// <summary>A field as it stands in a row: RFC 4180, section 2, rules 5 to 7.</summary>
    public static string Quoted(string field) =>
        field.AsSpan().IndexOfAny(",\"\r\n") < 0 ? field : $"\"{field.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";

    private static int? ValveOpen(Entry entry) => entry.Body is { } body ? LogJson.Read<CycleBody>(body).ValveOpen ? 1 : 0 : null;

    private static string Column(Channel channel) => channel switch
    {
        Channel.VesselConductivity or Channel.TankConductivity => $"{SiChannel.Of(channel).Name}_us_per_cm",
        Channel.VesselTemperature or Channel.TankTemperature => $"{SiChannel.Of(channel).Name}_celsius",
        Channel.Mass => "vessel_mass_kg",
        Channel.Level => "vessel_level_mm",
        Channel.TankLight => "tank_light_lx",
        _ => SiChannel.Of(channel).Name,
    };

    private static string Kebab<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());
}
