using System.Text.Json;
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
    private readonly HashSet<long> _boots = [.. origin.Boots.Select(boot => boot.Id)];
    private readonly List<string> _leftOut = [];
    private long _entries;

    public bool CyclesAlone => false;

    public bool TellsUndated => true;

    public IReadOnlyList<string> LeftOut => _leftOut;

    public bool CanTell(Entry entry) => _boots.Contains(entry.BootId);

    public void Begin()
    {
        Line(new LogLine { Log = new LogStart(LogLine.Form, origin.Identity, origin.DroppedTo) });
        foreach (var boot in origin.Boots)
        {
            Line(new LogLine { Boot = boot });
        }

        foreach (var configuration in origin.Configurations)
        {
            if (IsWhole(configuration)) Line(new LogLine { Configuration = configuration });
            else _leftOut.Add($"configuration {configuration.Id} of {configuration.Station}, with all that was written by it");
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

    private static bool IsWhole(ConfigurationRow configuration)
    {
        try
        {
            return LogJson.Read<Station>(configuration.Json).Name == configuration.Station;
        }
        catch (JsonException)
        {
            return false;
        }
    }

    private bool Photograph(string name)
    {
        using var file = photographs.Open(name);
        if (file is null)
        {
            return false;
        }

        using var whole = new MemoryStream();
        file.CopyTo(whole);
        var jpeg = whole.ToArray();
        if (!PhotographImport.IsWhole(name, jpeg))
        {
            _leftOut.Add($"photograph {name}");
            return false;
        }

        foreach (var part in jpeg.Chunk(PhotographPart.MostBytes)) Line(new LogLine { Photograph = new PhotographPart(name, jpeg.Length, part) });
        return true;
    }

    private void Line(LogLine line)
    {
        writer.Write(line.Text());
        writer.Write('\n');
    }
}
