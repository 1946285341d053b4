using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Log;

namespace Evenwater.Exporting;

/// <summary>InfluxDB line protocol, a line for each entry: the very points that the follower sends.</summary>
/// <param name="writer">Where to.</param>
/// <param name="channels">The channels that are told of a cycle; null for all, and then forecasts and events are told as well.</param>
internal sealed class LineExport(TextWriter writer, IReadOnlyList<Channel>? channels) : IExport
{
    public bool CyclesAlone => channels is not null;

    public bool TellsUndated => false;

    public void Begin()
    {
    }

    public void Write(Entry entry, Station station)
    {
        writer.Write(InfluxPoints.Of(entry, station, channels).ToLineProtocol());
        writer.Write('\n');
    }

    public void End()
    {
    }
}
