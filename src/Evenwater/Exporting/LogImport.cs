using System.Text.Json;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Exporting;

/// <summary>
/// Makes a log of a complete export. It is made in a folder beside the one that is wanted and moved there when all of it is in; a file with a damaged
/// line leaves nothing behind.
/// </summary>
internal sealed class LogImport
{
    private const int Page = 1000;

    /// <summary>A configuration is the longest line, some kilobytes; a file without line ends must not fill the memory. Our own choice.</summary>
    private const int LongestLine = 1024 * 1024;

    private readonly TextReader _reader;
    private readonly LogCopy _copy;
    private readonly PhotographImport _photographs;
    private readonly Dictionary<long, string> _stations = [];
    private readonly HashSet<long> _boots = [];
    private readonly List<Entry> _page = [];
    private long _line;
    private long _entries;
    private long _lastId;

    private LogImport(TextReader reader, LogCopy copy, string folder) => (_reader, _copy, _photographs) = (reader, copy, new PhotographImport(folder));

    /// <summary>Imports into a folder that is not there yet, or is empty.</summary>
    /// <param name="reader">The export.</param>
    /// <param name="folder">Where the log is to stand.</param>
    /// <param name="progress">Told how many entries are in.</param>
    /// <returns>How many entries it has.</returns>
    /// <exception cref="InvalidDataException">A damaged line; the message names it.</exception>
    /// <exception cref="IOException">The folder is in use, or can not be written.</exception>
    public static long Run(TextReader reader, string folder, Action<long> progress)
    {
        var place = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
        if (File.Exists(place) || (Directory.Exists(place) && Directory.EnumerateFileSystemEntries(place).Any()))
        {
            throw new IOException(File.Exists(Path.Combine(place, LogFile.Name))
                ? $"--log: {folder} holds a log already, and two logs are not put together. Name a folder that does not exist."
                : $"--log: {folder} is not empty. Name a folder that does not exist.");
        }

        var making = place + ".importing";
        if (Path.Exists(making))
        {
            throw new IOException($"{making} is in the way: another import makes it now, or was broken off. If none runs, remove it.");
        }

        try
        {
            _ = Directory.CreateDirectory(making, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
            long entries;
            using (var copy = new LogCopy(making))
            {
                entries = new LogImport(reader, copy, making).ReadAll(progress);
            }

            if (Directory.Exists(place))
            {
                Directory.Delete(place);
            }

            Directory.Move(making, place);
            return entries;
        }
        catch
        {
            if (Directory.Exists(making))
            {
                Directory.Delete(making, recursive: true);
            }

            throw;
        }
    }

    private long ReadAll(Action<long> progress)
    {
        var ended = false;
        while (NextLine() is { } text)
        {
            _line++;
            try
            {
                if (ended)
                {
                    throw new JsonException("something follows the line that ends the export");
                }

                if (_line == 1 && !text.StartsWith("{\"log\"", StringComparison.Ordinal))
                {
                    throw new JsonException("this is no complete export (--as log): CSV, SenML and line protocol can not be imported");
                }

                ended = Take(LogLine.Of(text));
                if (_page.Count == Page)
                {
                    Store();
                    progress(_entries);
                }
            }
            catch (Exception e) when (e is JsonException or SqliteException or ArgumentOutOfRangeException)
            {
                throw new InvalidDataException($"line {_line} is damaged: {e.Message.TrimEnd('.')}. Nothing was imported; take another copy of the export.", e);
            }
        }

        if (!ended)
        {
            throw new InvalidDataException($"line {_line + 1} is missing: the export was cut off, its last line tells how many entries there are. Nothing was imported; export again.");
        }

        Store();
        return _entries;
    }

    /// <returns>Whether it was the last line.</returns>
    private bool Take(LogLine line)
    {
        Require(line.Log is null || _line == 1, "the log begins a second time");
        switch (line)
        {
            case { Log: { } start }:
                Require(start.Form is 1 or LogLine.Form, $"form = {start.Form}: this program reads 1 and {LogLine.Form}");
                Require(Guid.TryParse(start.Identity, out _), $"identity = {start.Identity}: not a UUID");
                _copy.Add(start.Identity, start.DroppedTo);
                break;
            case { Boot: { } boot }:
                Require(_boots.Add(boot.Id) && boot.Id > 0, $"boot id = {boot.Id}: above 0 and each once");
                _copy.Add(boot);
                break;
            case { Configuration: { } configuration }:
                Require(configuration.Id > 0 && _stations.TryAdd(configuration.Id, configuration.Station), $"configuration id = {configuration.Id}: above 0 and each once");
                Require(LogJson.Read<Station>(configuration.Json).Name == configuration.Station, $"configuration {configuration.Id} is not of {configuration.Station}");
                _copy.Add(configuration);
                break;
            case { Entry: { } entry }:
                TakeEntry(entry);
                break;
            case { Photograph: { } part }:
                _photographs.Take(part);
                break;
            case { End: { } end }:
                Require(end.Entries == _entries, $"entries = {end.Entries}: {_entries} came before");
                Require(_photographs.End() == end.Photographs, $"photographs = {end.Photographs}: {_photographs.Count} came before");
                return true;
        }

        return false;
    }

    private void TakeEntry(EntryLine entry)
    {
        Require(entry.Id > _lastId, $"entry id = {entry.Id}: above {_lastId}, the one before");
        Require(_boots.Contains(entry.Boot), $"entry {entry.Id}: there is no boot {entry.Boot}");
        Require((entry.Kind == EntryKind.Cycle) == (entry.Samples is not null), $"entry {entry.Id}: a cycle, and nothing else, has samples");
        Require(entry.Samples?.Any(sample => sample is null) != true, $"entry {entry.Id}: a sample is missing");
        try
        {
            EntryBodies.Check(entry.Kind, entry.Body);
        }
        catch (JsonException e)
        {
            throw new JsonException($"entry {entry.Id} is none of its kind, {entry.Kind}: {e.Message}", e);
        }

        _page.Add(entry.Back(_stations.TryGetValue(entry.Configuration, out var station)
            ? station
            : throw new JsonException($"entry {entry.Id}: there is no configuration {entry.Configuration}")));
        _lastId = entry.Id;
        _entries++;
    }

    /// <exception cref="IOException">The new log can not be written: no line is to blame.</exception>
    private void Store()
    {
        try
        {
            _copy.Add(_page);
            _page.Clear();
        }
        catch (SqliteException e)
        {
            throw new IOException($"the new log can not be written ({e.Message}). Nothing was imported; make room, or name a folder on another disk.", e);
        }
    }

    internal static void Require(bool holds, string what)
    {
        if (!holds)
        {
            throw new JsonException(what);
        }
    }

    private string? NextLine()
    {
        var line = new System.Text.StringBuilder();
        for (int next; (next = _reader.Read()) >= 0;)
        {
            if (next == '\n')
            {
                return line.ToString();
            }

            if (line.Length == LongestLine)
            {
                throw new InvalidDataException($"line {_line + 1} is damaged: longer than {LongestLine} characters. Nothing was imported; take another copy of the export.");
            }

            line.Append((char)next);
        }

        return line.Length > 0 ? line.ToString() : null;
    }
}
