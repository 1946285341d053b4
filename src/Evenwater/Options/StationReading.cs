using Evenwater.Core.Stations;

namespace Evenwater.Options;

/// <summary>What a station file gave: a station that passes every rule, or what is wrong with it.</summary>
internal sealed record StationReading(Station? Station, IReadOnlyList<Problem> Problems)
{
    public static StationReading Good(Station station) => new(station, []);

    public static StationReading Bad(params IReadOnlyList<Problem> problems) => new(null, problems);
}
