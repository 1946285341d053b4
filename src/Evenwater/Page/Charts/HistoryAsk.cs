using Evenwater.Core;
using Evenwater.Followers;

namespace Evenwater.Page.Charts;

/// <summary>A channel of a station.</summary>
public readonly record struct ChannelAt(string Station, Channel Channel)
{
    /// <summary>As it stands in an address: such as sim-river/tank_temperature.</summary>
    public string Address => $"{Station}/{SiChannel.Of(Channel).Name}";

    /// <summary>As people read it; with the station's name when it is not this one.</summary>
    public string Label(string? here) => Station == here ? ChannelLook.Of(Channel).Label : $"{Station}: {ChannelLook.Of(Channel).Label}";
}

/// <summary>What of the past is asked for.</summary>
public sealed record HistoryAsk
{
    /// <summary>Points of a line at the most: one for each pixel of a wide window. Our own choice.</summary>
    public const int MostPoints = 1500;

    /// <summary>Lines in one answer at the most: more can not be told apart by dash and colour.</summary>
    public const int MostChannels = 8;

    /// <summary>Longest span: 20 years of 365.25 days. Our own choice.</summary>
    public const double MostDays = 7305;

    /// <summary>
    /// Points that show a span of so many days best: as many as there may be, but days of a span in which a day is only a few pixels wide, or its own ups and downs fill the chart.
    /// </summary>
    public static int PointsFor(double days) => days > 200 ? Math.Min(MostPoints, (int)Math.Ceiling(days)) : MostPoints;

    /// <summary>Which channels.</summary>
    public required IReadOnlyList<ChannelAt> Channels { get; init; }

    /// <summary>Where the span begins.</summary>
    public required DateTimeOffset From { get; init; }

    /// <summary>Where it ends.</summary>
    public required DateTimeOffset To { get; init; }

    /// <summary>Now, on the clock of the page's station, or of the first one that is asked for.</summary>
    public required DateTimeOffset Now { get; init; }

    /// <summary>So long a reading may wait before it is in the log, on the same clock: until then it is not missing.</summary>
    public TimeSpan Waits { get; init; }

    /// <summary>That station's place.</summary>
    public required TimeZoneInfo Zone { get; init; }

    /// <summary>The span by its name when it ends now and moves with the clock; else null.</summary>
    public string? Moving { get; init; }

    /// <summary>Where a span of the same length begins that is laid over it; null without.</summary>
    public DateTimeOffset? Compared { get; init; }

    /// <summary>Most points of a line, 2 to <see cref="MostPoints"/>.</summary>
    public int Points { get; init; } = MostPoints;

    /// <summary>Whether swings are looked for.</summary>
    public bool Swings { get; init; }

    /// <summary>Its parameters in an address, with the times as they are now: who opens it later sees the same.</summary>
    public string Fixed => Joined(
        [("from", Instant(From)), ("to", Instant(To)), .. Compared is { } start ? [("compare", "own"), ("compareFrom", Instant(start))] : Array.Empty<(string, string)>(), .. Rest()]);

    /// <summary>Its parameters in an address that moves with the clock; null when it does not.</summary>
    public string? Following => Moving is null || Compared is not null ? null : Joined([("span", Moving), .. Rest()]);

    /// <summary>An instant as it stands in an address.</summary>
    public static string Instant(DateTimeOffset at) => at.UtcDateTime.ToString(at.Second == 0 ? "yyyy-MM-dd'T'HH:mm'Z'" : "yyyy-MM-dd'T'HH:mm:ss'Z'");

    /// <summary>What is left of its parameters without the times.</summary>
    public string RestText => Joined(Rest());

    private IEnumerable<(string, string)> Rest() =>
        [.. Channels.Select(channel => ("channel", channel.Address)), .. Swings ? [("swings", "1")] : Array.Empty<(string, string)>()];

    private static string Joined(IEnumerable<(string Name, string Value)> parts) =>
        string.Join('&', parts.Select(part => $"{part.Name}={Uri.EscapeDataString(part.Value).Replace("%2F", "/", StringComparison.Ordinal).Replace("%3A", ":", StringComparison.Ordinal)}"));
}
