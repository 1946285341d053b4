using Evenwater.Core;
using Evenwater.Core.Standing;

namespace Evenwater.Keeping;

/// <summary>One channel of a tank in a line: the value, what is usual at this hour, and what of it needs a person.</summary>
internal static class TankChannelText
{
    public static string Of(ChannelStanding channel, DateTimeOffset now)
    {
        var (unit, decimals) = channel.Channel switch
        {
            Channel.TankConductivity => ("µS/cm at 25 °C", 0),
            Channel.TankTemperature => ("°C", 1),
            _ => ("lx", 0),
        };
        // Where value and limit would read alike and are not, both are told more finely.
        bool Alike(double? limit) => channel.Now is { } read && limit is { } at && read != at && Rounded(read, decimals) == Rounded(at, decimals);
        if (channel.BeyondLimit == true && (Alike(channel.Least) || Alike(channel.Most))) decimals += 2;
        var value = channel.Now is { } known ? $"{TankText.Number(known, decimals)} {unit}"
            : channel.LastAt is { } last ? $"no reading for {TankText.Days(now - last)}"
            : "never read";
        return string.Join("; ", new[] { value, Usual(channel, decimals), Limit(channel, decimals) }.OfType<string>());
    }

    private static string Usual(ChannelStanding channel, int decimals) => channel.Usual switch
    {
        null => $"usual at this hour: can't tell yet, 0 of {HourBaseline.LeastDays} days",
        { Tells: false } few => $"usual at this hour: can't tell yet, {few.Days} of {HourBaseline.LeastDays} days",
        { } usual => $"usual at this hour of {usual.Days} days {TankText.Number(usual.Low, decimals)} to {TankText.Number(usual.High, decimals)}" + (channel.Now is { } now ? $": {Among(now, usual, decimals)}" : ""),
    };

    /// <summary>Where a reading lies among the usual days. Of days of two kinds, as before and after a heater was set anew, it may be far off most of them and within their span.</summary>
    private static string Among(double now, in HourBaseline usual, int decimals)
    {
        var (low, high) = (Rounded(usual.Low, decimals), Rounded(usual.High, decimals));
        return (usual.Outside(now), Rounded(now, decimals)) switch
        {
            (true, var read) when read >= low && read <= high => $"{(now > usual.Most ? "HIGHER" : "LOWER")} than on most of them, at {TankText.Number(usual.Median, decimals)}",
            (true, _) => now > usual.Most ? "HIGHER than usual" : "LOWER than usual",
            (_, var read) when read > high => "at the upper end",
            (_, var read) when read < low => "at the lower end",
            _ => "as usual",
        };
    }

    /// <summary>As it is told.</summary>
    private static double Rounded(double value, int decimals) => Math.Round(value, decimals, MidpointRounding.AwayFromZero);

    private static string? Limit(ChannelStanding channel, int decimals) => channel.BeyondLimit switch
    {
        true when channel.Now < channel.Least => $"BELOW your limit of {TankText.Number(channel.Least.Value, decimals)}",
        true => $"ABOVE your limit of {TankText.Number(channel.Most!.Value, decimals)}",
        null => "whether it is within your limits can't be told",
        _ => null,
    };
}
