using System.Text;
using Evenwater.Calibrating;
using Evenwater.Core;

namespace Evenwater.Running;

/// <summary>A station's state in a few plain lines, for the check command.</summary>
internal static class StatusText
{
    public static string Of(StationLoop loop)
    {
        var shown = loop.Shown;
        var readings = shown.Readings;
        var text = new StringBuilder();
        text.Append($"{loop.State.Station.Name}: {Words.Of(shown.Phase)}. {Words.Of(shown.Say.Word)}. {shown.Say.Text}");
        for (var channel = Channel.VesselConductivity; (int)channel < Channels.Count; channel++)
        {
            var reading = readings[channel];
            if (reading.Reason != Reason.NotFitted)
            {
                text.Append($"\n  {Name(channel)}: {(reading.TryGet(out var value) ? $"{value:0.##} {Unit(channel)}" : Words.Of(reading.Reason))}");
            }
        }

        if (loop.DevicesMissing is { } missing)
        {
            text.Append($"\n  board: can not be opened: {missing}");
        }

        if (CalibrationText.Overdue(loop.CalibrationsDue, loop.WallNow) is { } overdue)
        {
            text.Append($"\n  {overdue}");
        }

        return text.ToString();
    }

    /// <summary>A channel in a few words.</summary>
    public static string Name(Channel channel) => channel switch
    {
        Channel.VesselConductivity => "vessel conductivity",
        Channel.VesselTemperature => "vessel temperature",
        Channel.TankConductivity => "tank conductivity",
        Channel.TankTemperature => "tank temperature",
        Channel.FloatLow => "low float",
        Channel.FloatHigh => "high float",
        Channel.Leak => "leak sensor",
        Channel.Drops => "drops",
        Channel.Mass => "load cell",
        Channel.Level => "level",
        Channel.TankLight => "tank light",
        _ => throw new ArgumentOutOfRangeException(nameof(channel), channel, "no name for this channel"),
    };

    /// <summary>The unit of a channel's values; empty where they are counted.</summary>
    public static string Unit(Channel channel) => channel switch
    {
        Channel.VesselConductivity or Channel.TankConductivity => "µS/cm at 25 °C",
        Channel.VesselTemperature or Channel.TankTemperature => "°C",
        Channel.Mass => "kg",
        Channel.Level => "mm",
        Channel.TankLight => "lx",
        Channel.Drops => "",
        _ => "(1 = wet)",
    };
}
