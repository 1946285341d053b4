using System.Text.Json;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Log.Blocks;

namespace Evenwater.Exporting;

/// <summary>How much of an export was written.</summary>
/// <param name="Entries">Entries written.</param>
/// <param name="Undated">Entries left out because they were never dated.</param>
/// <param name="Damaged">Rows left out because they are no longer what was written.</param>
internal sealed record Exported(long Entries, long Undated, int Damaged = 0)
{
    /// <summary>What else was left out for the same reason.</summary>
    public IReadOnlyList<string> LeftOut { get; init; } = [];
}

/// <summary>Reads the log page by page and writes it down, of a span no more than the pages it stands on, never holding more than a page; what a daemon adds meanwhile is left to the next time.</summary>
internal static class LogExport
{
    private const int Page = 1000;

    /// <param name="reader">The log.</param>
    /// <param name="ask">Which part.</param>
    /// <param name="export">How.</param>
    /// <param name="progress">Told the share that is done, 0 to 1, after every page.</param>
    public static Exported Run(LogReader reader, ExportAsk ask, IExport export, Action<double> progress)
    {
        var end = reader.LastId();
        var (first, last) = ask is { From: null, To: null } ? (1, end) : reader.Within(ask.From, ask.To, export.CyclesAlone) ?? (1, 0);
        last = Math.Min(last, end);
        var (written, undated, after) = (0L, 0L, first - 1);
        var (spoilt, rows, damaged) = (new List<BlockRow>(), new HashSet<long>(), 0);
        export.Begin();
        while (after < last)
        {
            var page = export.CyclesAlone ? reader.Read(after, Page, cycles: true, spoilt) : reader.Read(after, Page, spoilt);
            rows.UnionWith(spoilt.Where(row => row.FirstId <= last && ask.Takes(row, reader.StationOf(row.ConfigurationId))).Select(row => row.FirstId));
            spoilt.Clear();
            if (page.Count == 0)
            {
                break;
            }

            foreach (var entry in page)
            {
                if (entry.Id > last || !ask.Takes(entry))
                {
                    continue;
                }

                if (!EntryBodies.AreWhole(entry) || !export.CanTell(entry) || Configured(reader, entry) is not { } station)
                {
                    damaged++;
                    continue;
                }

                if (entry.Wall is null && !export.TellsUndated)
                {
                    undated++;
                    continue;
                }

                export.Write(entry, station);
                written++;
            }

            after = page[^1].Id;
            progress(Math.Min(1, (double)(after - first + 1) / (last - first + 1)));
        }

        export.End();
        return new Exported(written, undated, rows.Count + damaged) { LeftOut = export.LeftOut };
    }

    /// <summary>The station as it was configured then; null when that is no longer what was written.</summary>
    private static Station? Configured(LogReader reader, Entry entry)
    {
        try
        {
            return reader.Configuration(entry.ConfigurationId);
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
