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
        return FittedChannels.Of(station).Select(channel => Of(station.Name, channel, readings[channel], $", raw {raw[channel].Code}"));
    }

    /// <summary>The same of readings that a daemon has screened, where they are not good.</summary>
    /// <param name="station">The station.</param>
    /// <param name="screened">What the daemon goes by now.</param>
    public static IEnumerable<(bool? Good, string What, string Text)> Wrong(Station station, Readings screened) =>
        FittedChannels.Of(station).Select(channel => Of(station.Name, channel, screened[channel], "")).Where(found => found.Good != true);

    private static (bool? Good, string What, string Text) Of(string station, Channel channel, in Reading reading, string raw)
    {
        var what = $"{station}, {StatusText.Name(channel)}";
        if (!reading.TryGet(out var value))
        {
            return (false, what, reading.Reason switch
            {
                Reason.NoAnswer => "no answer: see that it is plugged in, and its address, line or id in the station file",
                Reason.OutOfRange => $"out of range{raw}: see that it is in its water and no wire is broken, and its part of the station file",
                var reason => Words.Of(reason),
            });
        }

        return !Channels.IsSwitch(channel) ? (true, what, $"{$"{value:0.##} {StatusText.Unit(channel)}".TrimEnd()}{raw}")
            : value == 0 ? (true, what, "dry")
            : (channel == Channel.FloatLow ? null : false, what, "wet, or its wire is cut");
    }
}
