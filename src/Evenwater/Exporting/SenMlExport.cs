using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Log;

namespace Evenwater.Exporting;

/// <summary>
/// One SenML pack (RFC 8428): full names, absolute times and no base fields, so that each record stands alone. Names and units are those that are told over MQTT.
/// The records stand in the order of the log. They are not the resolved ones of section 4.6, which have to be sorted by time: a reading is older than its cycle, and a clock may be set back.
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
