using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Screening;
using Evenwater.Core.Stations;
using Evenwater.Running;

namespace Evenwater.Commands;

/// <summary>What a look at every probe comes to, for who checks a station: its value, or what keeps it from being one. An answer is not yet a good one: a dry cell, a broken loop and a wet leak sensor answer too.</summary>
internal static class ProbeAnswers
{
    /// <summary>Each fitted channel; true is good, false is bad, null neither.</summary>
    /// <param name="station">The station as it is calibrated now.</param>
    /// <param name="raw">What its drivers gave.</param>
    /// <param name="now">When they were asked last.</param>
    public static IEnumerable<(bool? Good, string What, string Text)> Of(Station station, RawSamples raw, MonotonicTime now)
    {
        var state = default(ScreenState);
        var readings = Screen.Apply(ref state, Calibrate.Apply(raw, station.Sensors), now);
        return FittedChannels.Of(station).Select(channel => Of(station.Name, channel, readings, $", raw {raw[channel].Code}"));
    }

    /// <summary>The same of readings that a daemon has screened, where they are not good.</summary>
    /// <param name="station">The station.</param>
    /// <param name="screened">What the daemon goes by now.</param>
    public static IEnumerable<(bool? Good, string What, string Text)> Wrong(Station station, Readings screened) =>
        FittedChannels.Of(station).Select(channel => Of(station.Name, channel, screened, "")).Where(found => found.Good != true);

    private static (bool? Good, string What, string Text) Of(string station, Channel channel, in Readings readings, string raw)
    {
        var what = $"{station}, {StatusText.Name(channel)}";
        if (!readings[channel].TryGet(out var value))
        {
            Channel? thermometer = channel switch { Channel.VesselConductivity => Channel.VesselTemperature, Channel.TankConductivity => Channel.TankTemperature, _ => null };
            return (false, what, thermometer is { } beside && !readings[beside].TryGet(out _)
                ? $"none at 25 °C while {StatusText.Name(beside)} has none: mend that first, then look again"
                : Why(readings[channel].Reason, raw));
        }

        return !Channels.IsSwitch(channel) ? (true, what, $"{$"{value:0.##} {StatusText.Unit(channel)}".TrimEnd()}{raw}")
            : value == 0 ? (true, what, "dry")
            : (channel == Channel.FloatLow ? null : false, what, "wet, or its wire is cut");
    }

    private static string Why(Reason reason, string raw) => reason switch
    {
        Reason.NoAnswer => "no answer: see that it is plugged in, and its address, line or id in the station file",
        Reason.OutOfRange => $"out of range{raw}: see that it is in its water and no wire is broken, and its part of the station file",
        Reason.Stale => "too old: nothing was read of it for a while; see that its bus is well, then look again",
        Reason.Stuck => $"stuck, the very same count for minutes{raw}: stir beside it; where the count does not move then, look at its cell, its plug and its front end",
        Reason.TooFast => "jumped: it is believed again once it has stood there for half a minute; look again then, and for a bubble or a loose plug",
        Reason.Uncalibrated => "not calibrated: see its part of the station file, and 'evenwater calibrate'",
        _ => $"{Words.Of(reason)}: look at it, then look again",
    };
}
