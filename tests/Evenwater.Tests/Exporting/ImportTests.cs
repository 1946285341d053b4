using Evenwater.Core;
using Evenwater.Exporting;
using Evenwater.Log;
using Evenwater.Photographs;
using Evenwater.Tests.Log;
using Evenwater.Tests.Photographs;

namespace Evenwater.Tests.Exporting;

/// <summary>A complete export becomes the same log again, or nothing at all.</summary>
public sealed class ImportTests : IDisposable
{
    private readonly ExportedLog _log = new();
    private readonly LogFolder _elsewhere = new();

    public void Dispose()
    {
        _log.Dispose();
        _elsewhere.Dispose();
    }

    private string Copy => Path.Combine(_elsewhere.Path, "copy");

    private long Import(string text) => LogImport.Run(new StringReader(text), Copy, _ => { });

    [Theory]
    [InlineData(120)]
    [InlineData(9_000)]
    public void An_imported_log_equals_the_one_it_came_from(int cycles)
    {
        var from = _log.Fill(cycles).Folder.Path;
        var text = ExportedLog.Whole(from);
        var entries = ExportedLog.All(from);
        Assert.Equal(entries.Count, Import(text));
        var imported = ExportedLog.All(Copy);
        BlockCodecTests.Same(entries, imported);
        Assert.Equal(entries.Select(e => (e.Station, e.Body, e.RunId, e.Wall)), imported.Select(e => (e.Station, e.Body, e.RunId, e.Wall)));
        Assert.Contains(imported, e => e.Wall is null);
        Assert.Contains(imported, e => e.Samples is { } raw && raw[Channel.TankTemperature].Reason == Reason.NoAnswer);
        var (here, there) = (LogOrigin.Read(from, 1), LogOrigin.Read(Copy, 1));
        Assert.Equal((here.Identity, here.DroppedTo), (there.Identity, there.DroppedTo));
        Assert.Equal(here.Boots, there.Boots);
        Assert.Equal(here.Configurations, there.Configurations);
        using var reader = new LogReader(Copy, 1);
        Assert.Empty(reader.Cursors());
        Assert.Equal(text, ExportedLog.Whole(Copy));
    }

    [Fact]
    public void Photographs_go_along_in_parts_and_one_that_is_not_what_its_name_says_leaves_nothing_behind()
    {
        var folder = new PhotographFolder(_log.Fill(12).Folder.Path);
        byte[][] pictures = [MadePicture.Jpeg(60, 40), MadePicture.Grainy(900, 700)];
        var names = pictures.Select(picture => folder.Keep(picture).Name!).ToList();
        Assert.True(pictures[1].Length > 2 * PhotographPart.MostBytes, $"{pictures[1].Length} bytes are no three parts");
        File.WriteAllText(Path.Combine(_log.Folder.Path, PhotographFolder.Name, "other.jpg"), "none of ours");
        var text = ExportedLog.Whole(_log.Folder.Path);
        Assert.All(text.Split('\n'), line => Assert.InRange(line.Length, 0, 270_000));
        Import(text);
        Assert.Equal(names.Order(StringComparer.Ordinal), new PhotographFolder(Copy).Names());
        foreach (var (name, picture) in names.Zip(pictures)) Assert.Equal(picture, File.ReadAllBytes(Path.Combine(Copy, PhotographFolder.Name, $"{name}.jpg")));
        Assert.Equal(text, ExportedLog.Whole(Copy));

        // One that a worn card has spoilt is left out and named: with it nothing at all could be imported.
        File.WriteAllBytes(Path.Combine(Copy, PhotographFolder.Name, $"{names[0]}.jpg"), MadePicture.Jpeg(61, 40));
        using (var written = new StringWriter())
        using (var reader = new LogReader(Copy, 1))
        {
            Assert.Equal([$"photograph {names[0]}"], LogExport.Run(reader, ExportAsk.All, new WholeLogExport(written, LogOrigin.Read(Copy, 1), new PhotographFolder(Copy)), _ => { }).LeftOut);
            Directory.Delete(Copy, recursive: true);
            Import(written.ToString());
            Assert.Equal([names[1]], new PhotographFolder(Copy).Names());
        }

        Directory.Delete(Copy, recursive: true);
        var lines = text.TrimEnd('\n').Split('\n').ToList();
        var parts = Enumerable.Range(0, lines.Count).Where(i => lines[i].StartsWith("{\"photograph\"", StringComparison.Ordinal)).ToList();
        foreach (var (why, damage) in new (string, Action<List<string>>)[]
        {
            ("is not complete", l => l.RemoveAt(parts[^1])), ("came before", l => l[^1] = l[^1].Replace("\"photographs\":2", "\"photographs\":3", StringComparison.Ordinal)),
            ("longer than it says", l => l[parts[^1]] = l[parts[^1]].Replace("\"part\":\"", "\"part\":\"AAAA", StringComparison.Ordinal)),
            ("is not what it was", l => l[parts[0]] = l[parts[0]].Replace("\"part\":\"/9j/", "\"part\":\"/9j+", StringComparison.Ordinal)),
            ("64 hexadecimal digits", l => l[parts[0]] = l[parts[0]].Replace(names.Order(StringComparer.Ordinal).First(), "../../x", StringComparison.Ordinal)),
        })
        {
            var damaged = lines.ToList();
            damage(damaged);
            Assert.Contains(why, Assert.Throws<InvalidDataException>(() => Import(string.Join('\n', damaged))).Message, StringComparison.Ordinal);
            Assert.Empty(Directory.EnumerateFileSystemEntries(_elsewhere.Path));
        }
    }

    [Fact]
    public async Task An_imported_log_goes_on_as_a_log()
    {
        Import(ExportedLog.Whole(_log.Fill(60).Folder.Path));
        var last = ExportedLog.All(Copy)[^1].Id;
        using var log = NightLog.Open(Copy, pace: LogFolder.Quick);
        Assert.Equal(last + 1, new Night(log).Cycle());
        Assert.Equal(last + 1, await log.CommitAsync(TestContext.Current.CancellationToken));
    }

    /// <summary>What is done to the lines of an export of 120 cycles, the line that is then named, and a word of why.</summary>
    public static TheoryData<string, int, string> Damages => new()
    {
        { "cut", 60, "missing" },
        { "no-end", -1, "missing" },
        { "half", 40, "damaged" },
        { "key", 40, "colour" },
        { "order", 40, "above" },
        { "boot", 40, "boot 99" },
        { "configuration", 40, "configuration 99" },
        { "lost", 40, "came before" },
        { "kind", 40, "damaged" },
        { "sample", 40, "sample" },
        { "no-body", 40, "no body" },
        { "body", 40, "kind" },
        { "twice", -1, "follows" },
        { "csv", 1, "can not be imported" },
    };

    [Theory]
    [MemberData(nameof(Damages))]
    public void A_damaged_line_is_named_and_nothing_is_left_behind(string damage, int line, string why)
    {
        var lines = ExportedLog.Whole(_log.Fill(120).Folder.Path).TrimEnd('\n').Split('\n').ToList();
        var (at, count) = (line - 1, lines.Count);
        switch (damage)
        {
            case "cut": lines.RemoveRange(at, count - at); break;
            case "no-end": lines.RemoveAt(count - 1); (line, count) = (count, count - 1); break;
            case "half": lines[at] = lines[at][..20]; break;
            case "key": lines[at] = lines[at].Replace("\"monoNs\"", "\"colour\":1,\"monoNs\"", StringComparison.Ordinal); break;
            case "order": lines[at] = lines[at - 1]; break;
            case "boot": lines[at] = lines[at].Replace("\"boot\":1", "\"boot\":99", StringComparison.Ordinal); break;
            case "configuration": lines[at] = lines[at].Replace("\"configuration\":1", "\"configuration\":99", StringComparison.Ordinal); break;
            case "lost": lines.RemoveAt(at); line = count - 1; break;
            case "kind": lines[at] = lines[at].Replace("\"cycle\"", "\"dream\"", StringComparison.Ordinal); break;
            case "sample": lines[at] = As(lines[at], entry => entry with { Samples = [null!] }); break;
            case "no-body": lines[at] = As(lines[at], entry => entry with { Kind = EntryKind.Alarm, Samples = null, Body = null }); break;
            case "body": lines[at] = As(lines[at], entry => entry with { Kind = EntryKind.Note, Samples = null, Body = """{"note":{}}""" }); break;
            case "twice": lines.Add(lines[^1]); line = count + 1; break;
            default: lines = ["entry,time_utc", "1,2"]; break;
        }

        var refused = Assert.Throws<InvalidDataException>(() => Import(string.Join('\n', lines)));
        Assert.StartsWith($"line {line} is ", refused.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("..", refused.Message, StringComparison.Ordinal); // what the reader says ends in a point itself
        Assert.Contains(why, refused.Message, StringComparison.Ordinal);
        Assert.Empty(Directory.EnumerateFileSystemEntries(_elsewhere.Path));
    }

    private static string As(string line, Func<EntryLine, EntryLine> other) => new LogLine { Entry = other(LogLine.Of(line).Entry!) }.Text();

    [Fact]
    public void A_folder_that_holds_a_log_already_is_refused_and_left_as_it_was()
    {
        var text = ExportedLog.Whole(_log.Fill(60).Folder.Path);
        Import(text);
        var before = File.ReadAllBytes(Path.Combine(Copy, LogFile.Name));
        Assert.Contains("holds a log already", Assert.Throws<IOException>(() => Import(text)).Message, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllBytes(Path.Combine(Copy, LogFile.Name)));
    }
}
