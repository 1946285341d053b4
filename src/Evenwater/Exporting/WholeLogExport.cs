using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Photographs;

namespace Evenwater.Exporting;

/// <summary>The complete log and its photographs as lines of JSON, which <see cref="LogImport"/> makes the same log of again.</summary>
/// <param name="writer">Where to.</param>
/// <param name="origin">What stands beside the entries.</param>
/// <param name="photographs">The photographs of the log's folder.</param>
internal sealed class WholeLogExport(TextWriter writer, LogOrigin origin, PhotographFolder photographs) : IExport
{
    private long _entries;

    public bool CyclesAlone => false;

    public bool TellsUndated => true;

    public void Begin()
    {
        Line(new LogLine { Log = new LogStart(LogLine.Form, origin.Identity, origin.DroppedTo) });
        foreach (var boot in origin.Boots)
        {
            Line(new LogLine { Boot = boot });
        }

        foreach (var configuration in origin.Configurations)
        {
            Line(new LogLine { Configuration = configuration });
        }
    }

    public void Write(Entry entry, Station station)
    {
        Line(new LogLine { Entry = EntryLine.Of(entry) });
        _entries++;
    }

    /// <summary>The photographs that are there come last, part by part: one that is deleted meanwhile is left out.</summary>
    public void End()
    {
        var told = photographs.Names().Count(Photograph);
        Line(new LogLine { End = new LogEnd(_entries, told) });
    }

    private bool Photograph(string name)
    {
        using var file = photographs.Open(name);
        if (file is null)
        {
            return false;
        }

        var part = new byte[PhotographPart.MostBytes];
        for (int read; (read = file.ReadAtLeast(part, part.Length, throwOnEndOfStream: false)) > 0;)
        {
            Line(new LogLine { Photograph = new PhotographPart(name, file.Length, part[..read]) });
        }

        return true;
    }

    private void Line(LogLine line)
    {
        writer.Write(line.Text());
        writer.Write('\n');
    }
}
