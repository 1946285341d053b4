using System.Text;
using Evenwater.Exporting;
using Evenwater.Log;
using Evenwater.Photographs;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Exporting;

/// <summary>A log of two stations with all that an export meets, and its exports as text.</summary>
internal sealed class ExportedLog : IDisposable
{
    private static readonly LogPace Pace = LogFolder.Quick with { TidyEvery = 1, MaxCycles = 100_000, Batch = TimeSpan.FromHours(1) };

    public LogFolder Folder { get; } = new();

    /// <summary>What `--out` would hold.</summary>
    public static string Text(string folder, Func<LogReader, Stream, TextWriter, (IExport, ExportAsk)> how, Action<Exported>? told = null)
    {
        using var reader = new LogReader(folder, busySeconds: 1);
        using var stream = new MemoryStream();
        using (var writer = new StreamWriter(stream, leaveOpen: true))
        {
            var (export, ask) = how(reader, stream, writer);
            var exported = LogExport.Run(reader, ask, export, _ => { });
            told?.Invoke(exported);
            (export as IDisposable)?.Dispose();
        }

        return Encoding.UTF8.GetString(stream.ToArray());
    }

    public static string Csv(string folder, ExportAsk ask) => Text(folder, (_, _, writer) => (new CsvExport(writer, ask.Wanted), ask));

    public static string SenMl(string folder, ExportAsk ask, Action<Exported>? told = null) => Text(folder, (_, stream, _) => (new SenMlExport(stream, ask.Wanted), ask), told);

    public static string Line(string folder, ExportAsk ask) => Text(folder, (_, _, writer) => (new LineExport(writer, ask.Channels), ask));

    public static string Whole(string folder) => Text(folder, (_, _, writer) => (new WholeLogExport(writer, LogOrigin.Read(folder, 1), new PhotographFolder(folder)), ExportAsk.All));

    /// <summary>Cycles, events, undated ones, a run, two boots, and for a long one blocks and summaries.</summary>
    public ExportedLog Fill(int cycles)
    {
        using var log = Folder.Open(Pace);
        var river = new Night(log) { RunId = 7 };
        var lagoon = new Night(log, "sim-lagoon");
        for (var i = 1; i <= cycles; i++)
        {
            river.Cycle();
            if (i % 50 == 0)
            {
                lagoon.Cycle();
                river.Add(EntryKind.Event, new EventBody("test", $"\"{i}\", µS/cm,\r\nand more"));
            }

            if (i % 1000 == 0)
            {
                log.Flush();
            }
        }

        lagoon.HasWall = false;
        lagoon.Cycle();
        lagoon.Cycle();
        lagoon.Add(EntryKind.Event, new EventBody("undated", "no clock yet"));
        log.MoveCursor("somebody", 5);
        log.Flush();
        return this;
    }

    public static List<Entry> All(string folder)
    {
        using var reader = new LogReader(folder, busySeconds: 1);
        var all = new List<Entry>();
        for (var after = 0L; reader.Read(after, 700) is { Count: > 0 } page; after = page[^1].Id)
        {
            all.AddRange(page);
        }

        return all;
    }

    public void Dispose() => Folder.Dispose();
}
