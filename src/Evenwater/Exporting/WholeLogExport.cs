using Evenwater.Core.Stations;
using Evenwater.Log;

namespace Evenwater.Exporting;

/// <summary>The complete log as lines of JSON, which <see cref="LogImport"/> makes the same log of again.</summary>
internal sealed class WholeLogExport(TextWriter writer, LogOrigin origin) : IExport
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

    public void End() => Line(new LogLine { End = new LogEnd(_entries) });

    private void Line(LogLine line)
    {
        writer.Write(line.Text());
        writer.Write('\n');
    }
}
