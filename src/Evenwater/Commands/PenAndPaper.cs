using System.Text.Json;
using Evenwater.Control;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Options;
using Microsoft.Data.Sqlite;

namespace Evenwater.Commands;

/// <summary>How every command reads and writes a station's book: through the running daemon, or else by itself.</summary>
internal static class PenAndPaper
{
    /// <summary>The book of a station, or what is wrong.</summary>
    /// <param name="station">Its name; null for the only one.</param>
    /// <param name="folder">The log's folder; null for the daemon's.</param>
    /// <param name="files">Where station files are looked for; null for the usual places.</param>
    /// <param name="hasLog">Whether the command that asks has the option --log.</param>
    public static (Book? Book, string? Name, string? Problem) Book(string? station, string? folder = null, IReadOnlyList<string>? files = null, bool hasLog = true)
    {
        if (KeptLog.Find(folder) is not { } log)
        {
            return (null, null, KeptLog.NotThere(folder, hasLog));
        }

        var (name, problem) = log.Station(station);
        if (name is null)
        {
            return (null, null, problem);
        }

        if (station is not null && name != station && FileOf(station, files) is not null)
        {
            return (null, null, Unknown(name, station));
        }

        using var reader = new LogReader(log.Folder, KeptLog.BusySeconds);
        return (Books.Of(reader, name), name, null);
    }

    /// <summary>The book of a station whose file was read, by its whole name: "river" is not "sim-river" here, whose calibrations and animals are another's.</summary>
    /// <param name="station">Its name, as its file has it.</param>
    /// <param name="folder">The log's folder; null for the daemon's.</param>
    public static (Book? Book, string? Problem) BookOf(string station, string? folder = null)
    {
        var (book, name, problem) = Book(station, folder, hasLog: false); // neither plan nor begin has it
        return name is null || name == station ? (book, problem) : (null, Unknown(name, station));
    }

    private static string Unknown(string known, string station) => $"The log knows {known} and no {station} yet.";

    /// <summary>The station that has a file of this very name: then "river" is not short for "sim-river". Null when none has.</summary>
    private static Station? FileOf(string station, IReadOnlyList<string>? files = null) => StationArgument.Read(station, files ?? StationArgument.Folders).Station is { } file && file.Name == station ? file : null;

    /// <summary>The clock that a station's times go by: a simulated one has its own. This computer's where there is no such station yet.</summary>
    /// <param name="station">Its name; null for the only one.</param>
    /// <param name="folder">The log's folder; null for the daemon's.</param>
    public static TimeProvider Clock(string? station, string? folder = null)
    {
        if (KeptLog.Find(folder) is not { } log || log.Station(station).Name is not { } name)
        {
            return TimeProvider.System;
        }

        using var reader = new LogReader(log.Folder, KeptLog.BusySeconds);
        return OwnNow.Clock(reader, name);
    }

    /// <summary>Writes a note, tells what came of it, and gives the exit code.</summary>
    /// <param name="station">Whose book; null for the only one.</param>
    /// <param name="note">What is written.</param>
    /// <param name="file">The station as a file had it that was read already, wherever it lies; null when none was.</param>
    public static async Task<int> WriteAsync(string? station, Note note, Station? file = null)
    {
        file ??= station is null ? null : FileOf(station);
        if (file is not null && ServedFile.Another(file, (await AskCommands.AnswerAsync(new ControlAsk("phase", file.Name)))?.Served) is { } another)
        {
            return Exit.Tell(false, $"{another} Nothing was written.");
        }

        if (await AskCommands.AnswerAsync(new ControlAsk("note", station) { Written = note }) is { } answer)
        {
            return AskCommands.Told(answer);
        }

        var (configured, problem) = Configured(Places.State(demo: false), station, file);
        if (configured is null)
        {
            return Exit.Wrong(problem!);
        }

        var draft = OfflineBook.Write(Places.MakeState(demo: false), configured, note, TimeProvider.System);
        return draft.Problems.Count > 0 ? Exit.Wrong(draft.Text) : Exit.Tell(true, draft.Text);
    }

    /// <summary>Turns what may happen to a log into words and an exit code.</summary>
    public static async Task<int> WithWordsAsync(Func<Task<int>> run)
    {
        try
        {
            return await run();
        }
        catch (SqliteException e)
        {
            return Exit.Wrong(LogFile.Explain(LogFile.Name, e));
        }
        catch (Exception e) when (e is JsonException or InvalidDataException)
        {
            return Exit.Wrong($"The log is damaged: a row is not what was written ({e.Message}). Keep its files; 'evenwater export' writes what can still be read.");
        }
        catch (Exception e) when (e is LogUnusableException or IOException or UnauthorizedAccessException)
        {
            return Exit.Tell(false, $"The book can not be reached: {e.Message}");
        }
    }

    /// <summary>The station as the log had it last, or else as its file has it.</summary>
    internal static (Station? Station, string? Problem) Configured(string state, string? asked, Station? file)
    {
        var log = File.Exists(Path.Combine(state, LogFile.Name)) ? new KeptLog(state) : null;
        if (log?.Station(asked).Name is { } name && (file is null || file.Name == name))
        {
            return (KeptLog.LastConfiguration(log.Folder, name).Station, null);
        }

        if (asked is null)
        {
            return (null, log?.Station(asked).Problem ?? $"station = (not named): no daemon answers, and there is no log in {state} that would tell. Name the station.");
        }

        if (file is not null)
        {
            return (file, null);
        }

        var reading = StationArgument.Read(asked);
        return reading.Station is { } station ? (station, null) : (null, string.Join(' ', reading.Problems));
    }
}
