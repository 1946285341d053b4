using Evenwater.Core;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Log.Blocks;

namespace Evenwater.Exporting;

/// <summary>Which part of the log is wanted; what is null is not limited.</summary>
/// <param name="Station">Of this station alone.</param>
/// <param name="Channels">These channels alone.</param>
/// <param name="From">From this wall time on.</param>
/// <param name="To">Before this wall time.</param>
internal sealed record ExportAsk(string? Station = null, IReadOnlyList<Channel>? Channels = null, DateTimeOffset? From = null, DateTimeOffset? To = null)
{
    // Before All, which takes its channels from it.
    private static readonly Channel[] EveryChannel = [.. Enumerable.Range(0, Core.Channels.Count).Select(c => (Channel)c)];

    public static readonly ExportAsk All = new();

    /// <summary>The channels that are told, in the order of their numbers.</summary>
    public IReadOnlyList<Channel> Wanted { get; } = Channels is null ? EveryChannel : [.. EveryChannel.Where(Channels.Contains)];

    /// <summary>Whether an entry is of the part. One that was never dated is in no span.</summary>
    public bool Takes(Entry entry) =>
        (Station is null || entry.Station == Station)
        && (From is null || entry.Wall >= From)
        && (To is null || entry.Wall < To);

    /// <summary>Whether a row of cycles may hold some of the part, by what is known beside its readings.</summary>
    public bool Takes(BlockRow row, string station) =>
        (Station is null || station == Station)
        && (From is null || row.LastWallMs >= From.Value.ToUnixTimeMilliseconds())
        && (To is null || row.FirstWallMs < To.Value.ToUnixTimeMilliseconds());

    /// <summary>The channels of a list such as "vessel_temperature,tank_temperature", or what is wrong with it.</summary>
    public static (IReadOnlyList<Channel>? Channels, string? Problem) ChannelsOf(string list)
    {
        var found = new List<Channel>();
        foreach (var name in list.Split(',', StringSplitOptions.TrimEntries))
        {
            if (Array.FindIndex(EveryChannel, c => SiChannel.Of(c).Name == name) is >= 0 and var place)
            {
                found.Add(EveryChannel[place]);
            }
            else
            {
                return (null, $"--channels: there is no channel {name}; there are {string.Join(", ", EveryChannel.Select(c => SiChannel.Of(c).Name))}, several with commas between them.");
            }
        }

        return (found, null);
    }
}
