using Evenwater.Core;

namespace Evenwater.Page.Charts;

/// <summary>A station that the log knows and nobody watches any more: it was taken out of the configuration, or is called something else.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Last">When it was read last.</param>
/// <param name="Fitted">The channels that it had probes for, as it was configured last.</param>
public sealed record GoneStation(string Name, DateTimeOffset Last, IReadOnlyList<Channel> Fitted)
{
    private const int Week = 7;

    /// <summary>Its last week, as it stands in an address.</summary>
    public string LastWeek =>
        $"span={NamedSpan.Own}&from={HistoryAsk.Instant(Last.AddDays(-Week))}&to={HistoryAsk.Instant(Last)}{string.Concat(Fitted.Take(HistoryAsk.MostChannels).Select(channel => $"&channel={Uri.EscapeDataString(new ChannelAt(Name, channel).Address)}"))}";
}
