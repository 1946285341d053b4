using Evenwater.Core.Review;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Keeping;

/// <summary>The runs that dripped water out of a tank, as the log has them: from when to when, and how much by the forecast's volume in the vessel.</summary>
internal static class TankRuns
{
    /// <summary>Entries about runs: a run has a handful.</summary>
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
        Entry? open = null;
        foreach (var entry in log.Happened(station, [EntryKind.Run], span.From, span.To, Most))
        {
            var drips = LogJson.Read<RunBody>(entry.Body!).Phase == Words.Of(Phase.Dripping);
            if (open is not null && !drips)
            {
                Add(open, entry.Id, entry.Wall!.Value);
                open = null;
            }
            else if (drips)
            {
                open ??= entry;
            }
        }

        if (open is not null) Add(open, long.MaxValue, span.To);
        return all;

        void Add(Entry began, long end, DateTimeOffset until)
        {
            var (litres, former) = (0.0, (double?)null);
            foreach (var volume in log.Volumes(station, (began.Id, end), span.From, span.To).Where(volume => volume > 0))
            {
                var grown = volume - (former ?? volume);
                litres += grown > -DrawnOffShare * former.GetValueOrDefault() ? grown : 0;
                former = volume;
            }

            if (litres > 0) all.Add(new(began.Wall!.Value, until, litres, replaced));
        }
    }
}
