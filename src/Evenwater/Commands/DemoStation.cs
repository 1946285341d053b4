using Evenwater.Core.Stations;
using Evenwater.Options;

namespace Evenwater.Commands;

/// <summary>The demo's station: the very file in config/stations, carried inside the program.</summary>
internal static class DemoStation
{
    private const string Resource = "sim-river.json";

    public static Station Read()
    {
        using var stream = typeof(DemoStation).Assembly.GetManifestResourceStream(Resource)
            ?? throw new InvalidOperationException($"{Resource} is not embedded");
        using var reader = new StreamReader(stream);
        var reading = StationFile.Parse(reader.ReadToEnd());
        return reading.Station ?? throw new InvalidOperationException($"{Resource}: {string.Join("; ", reading.Problems)}");
    }
}
