using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Log;

namespace Evenwater.Exporting;

/// <summary>
/// One SenML pack (RFC 8428) of resolved records (section 4.6): full names, absolute times, no base fields; a record a line. Names and units are those that
/// are told over MQTT. The records stand in the order of the log.
/// </summary>
internal sealed class SenMlExport(Stream stream, IReadOnlyList<Channel> channels) : IExport, IDisposable
{
    private const int FlushBytes = 64 * 1024;

    private readonly Utf8JsonWriter _json = new(stream);

    public bool CyclesAlone => true;

    public bool TellsUndated => false;

    public void Begin() => _json.WriteStartArray();

    public void Write(Entry entry, Station station)
    {
        SenMl.WriteResolved(_json, entry, station, channels);
        if (_json.BytesPending > FlushBytes)
        {
            _json.Flush();
        }
    }

    public void End()
    {
        _json.WriteEndArray();
        _json.Flush();
    }

    public void Dispose() => _json.Dispose();
}
