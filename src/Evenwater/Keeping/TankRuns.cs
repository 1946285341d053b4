using Evenwater.Core.Review;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Keeping;

/// <summary>The runs that dripped water out of a tank, as the log has them: from when to when, and how much by the forecast's volume in the vessel.</summary>
internal static class TankRuns
{
    /// <summary>A run's forecasts come about once a minute: more than three weeks of nothing but runs.</summary>
    private const int Most = 40_000;

    /// <summary>A vessel that loses more than this share from one forecast to the next was drawn off: no drip and no air takes so much.</summary>
    private const double DrawnOffShare = 0.05;

    /// <summary>Of a station's tank in a span.</summary>
    /// <param name="log">The log.</param>
    /// <param name="station">Its name.</param>
    /// <param name="span">From, to.</param>
    /// <param name="replaced">Whether an automatic top-off puts other water in its place.</param>
    public static IReadOnlyList<DrippedOut> Of(SpanReader log, string station, (DateTimeOffset From, DateTimeOffset To) span, bool replaced)
    {
        List<DrippedOut> all = [];
        (DateTimeOffset From, double Litres, double? Volume)? open = null;
        foreach (var entry in log.Happened(station, [EntryKind.Run, EntryKind.Forecast], span.From, span.To, Most))
        {
            if (entry.Kind == EntryKind.Forecast)
            {
                if (open is not { } run || LogJson.Read<ForecastBody>(entry.Body!).VolumeP50Litres is not (var volume and > 0)) continue;
                var grown = volume - (run.Volume ?? volume);
                open = run with { Litres = run.Litres + (grown > -DrawnOffShare * run.Volume.GetValueOrDefault() ? grown : 0), Volume = volume };
                continue;
            }

            var drips = LogJson.Read<RunBody>(entry.Body!).Phase == Words.Of(Phase.Dripping);
            if (open is { } was && !drips)
            {
                if (was.Litres > 0) all.Add(new(was.From, entry.Wall!.Value, was.Litres, replaced));
                open = null;
            }
            else if (open is null && drips)
            {
                open = (entry.Wall!.Value, 0, null);
            }
        }

        if (open is { Litres: > 0 } still) all.Add(new(still.From, span.To, still.Litres, replaced));
        return all;
    }
}
