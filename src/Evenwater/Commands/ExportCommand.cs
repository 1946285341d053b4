using System.CommandLine;
using System.Globalization;
using System.IO.Compression;
using System.Text.Json;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Exporting;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Photographs;
using Microsoft.Data.Sqlite;

namespace Evenwater.Commands;

/// <summary>evenwater export: a log, or a part of it, as a file.</summary>
internal static class ExportCommand
{
    private const int BusySeconds = 5;
    private static readonly string[] Forms = ["csv", "senml", "line", "log"];

    public static Command Create()
    {
        var log = new Option<string>("--log") { Description = "the folder of the log", Required = true, HelpName = "FOLDER" };
        var output = new Option<string>("--out") { Description = "the file to write; compressed when it ends in .gz; - is standard output", Required = true, HelpName = "FILE" };
        var form = new Option<string>("--as")
        {
            Description = "csv, senml (RFC 8428) and line (InfluxDB line protocol) are for other programs, and nothing reads them back; log is the complete log with its photographs, but for summaries of readings that had to go, and what `evenwater import` reads",
            Required = true,
            HelpName = "csv|senml|line|log",
        };
        var station = new Option<string?>("--station") { Description = "of this station alone" };
        var channels = new Option<string?>("--channels") { Description = "these channels alone, with commas between them; of line protocol then readings alone", HelpName = "A,B" };
        var from = new Option<string?>("--from") { Description = "from this time on, such as 2026-03-14 (UTC) or 2026-03-14T20:00:00Z", HelpName = "TIME" };
        var to = new Option<string?>("--to") { Description = "before this time", HelpName = "TIME" };
        var overwrite = new Option<bool>("--overwrite") { Description = "replace the file if it exists" };
        var command = new Command("export", "Write a log, or a part of it, into a file: for other programs, or complete for import.") { log, output, form, station, channels, from, to, overwrite };
        command.SetAction(parse =>
        {
            try
            {
                var (folder, file, wanted) = (parse.GetValue(log)!, parse.GetValue(output)!, parse.GetValue(form)!);
                return Problem(folder, file, wanted, parse.GetValue(overwrite)) is { } problem
                    ? Exit.Wrong(problem)
                    : Run(folder, file, wanted, parse.GetValue(station), parse.GetValue(channels), parse.GetValue(from), parse.GetValue(to));
            }
            catch (SqliteException e)
            {
                return Exit.Wrong(LogFile.Explain(Path.Combine(parse.GetValue(log)!, LogFile.Name), e));
            }
            catch (Exception e) when (e is JsonException or InvalidDataException)
            {
                return Exit.Wrong($"The log could not be read to its end: {e.Message.TrimEnd('.')}. Nothing was written; choose a span before or after it with --from and --to.");
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                return Exit.Wrong($"The export could not be written: {e.Message}");
            }
        });
        return command;
    }

    private static string? Problem(string folder, string file, string form, bool overwrite) => true switch
    {
        _ when !Forms.Contains(form) => $"--as = {form}: allowed are {string.Join(", ", Forms)}.",
        _ when !File.Exists(Path.Combine(folder, LogFile.Name)) => $"--log = {folder}: there is no log in it ({LogFile.Name}). Name the daemon's state folder.",
        _ when file != "-" && Path.Exists(file) && !overwrite => $"--out = {file}: it exists already. Name another, or say --overwrite.",
        _ => file == "-" ? null : OutputFile.ProblemBesideLog("--out", file, folder),
    };

    private static int Run(string folder, string file, string form, string? station, string? channels, string? from, string? to)
    {
        var origin = LogOrigin.Read(folder, BusySeconds);
        var (ask, problem) = Asked(origin, station, channels, from, to);
        if (ask is null || (form == "log" && ask != ExportAsk.All))
        {
            return Exit.Wrong(problem ?? "--as log is complete: leave out --station, --channels, --from and --to, or choose csv, senml or line.");
        }

        using var reader = new LogReader(folder, BusySeconds);
        var progress = Progress.OnTerminal();
        var part = file == "-" || SameFile.IsDevice(file) ? null : $"{file}.part";
        Exported exported;
        try
        {
            using (var plain = file == "-" ? Console.OpenStandardOutput() : new FileStream(part ?? file, FileMode.Create))
            using (var stream = file.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(plain, CompressionLevel.Optimal) : plain)
            {
                exported = Write(folder, reader, origin, ask, form, stream, share => progress.Tell($"{share * 100:0} %"));
            }

            if (exported is { Entries: 0, Damaged: > 0 })
            {
                throw new InvalidDataException($"of what is asked for {HowMany.Of(exported.Damaged, "row is", "rows are")} there, and no longer what was written");
            }

            if (part is not null)
            {
                File.Move(part, file, overwrite: true);
            }
        }
        catch
        {
            if (part is not null)
            {
                File.Delete(part);
            }

            throw;
        }
        finally
        {
            progress.End();
        }

        var undated = exported.Undated == 0 ? "" : $" {exported.Undated} were left out, because their clock was never set.";
        Console.Error.WriteLine($"{HowMany.Of(exported.Entries, "entry", "entries")} written.{undated}");
        foreach (var line in DamagedRows.Say(exported.Damaged, "written"))
        {
            Console.Error.WriteLine(line);
        }

        var until = LogOrigin.SummedUpUntil(folder, BusySeconds) is { } left && !(ask.From >= left) ? left : (DateTimeOffset?)null;
        if (until is { } made)
        {
            var rest = form == "log" ? "To take it along too, stop the program and copy the log's files." : "The history on the page gives that as a file.";
            Console.Error.WriteLine($"What was read before {KeptTime.Text(made, TimeZoneInfo.Local)} stands in the log summed up alone (minutes, quarter-hours, days), and is not in this file. {rest}");
        }

        if (exported.LeftOut.Count > 0)
        {
            Console.Error.WriteLine($"Left out, because it is no longer what was written: {string.Join("; ", exported.LeftOut)}.");
        }

        return exported is { Damaged: > 0 } or { LeftOut.Count: > 0 } ? Exit.Bad : exported.Entries > 0 ? Exit.Fine : Exit.Tell(false, $"Nothing {(until is null ? "" : "else ")}in the log is of that station and time{Holds(folder, origin)}");
    }

    /// <summary>What there is instead.</summary>
    private static string Holds(string folder, LogOrigin origin) => LogOrigin.Times(folder, BusySeconds) is not var (first, last) ? "; it holds nothing that is dated yet."
        : $"; it holds {first.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'} to {last.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'}, of {string.Join(", ", Stations(origin))}. Choose a span within that with --from and --to.";

    private static List<string> Stations(LogOrigin origin) => [.. origin.Configurations.Select(c => c.Station).Distinct().Order(StringComparer.Ordinal)];

    private static Exported Write(string folder, LogReader reader, LogOrigin origin, ExportAsk ask, string form, Stream stream, Action<double> progress)
    {
        if (form == "senml")
        {
            using var senml = new SenMlExport(stream, ask.Wanted);
            return LogExport.Run(reader, ask, senml, progress);
        }

        using var writer = new StreamWriter(stream, bufferSize: 64 * 1024, leaveOpen: true);
        return LogExport.Run(reader, ask, form switch
        {
            "csv" => new CsvExport(writer, ask.Wanted),
            "line" => new LineExport(writer, ask.Channels is null ? null : ask.Wanted),
            _ => new WholeLogExport(writer, origin, new PhotographFolder(folder)),
        }, progress);
    }

    private static (ExportAsk? Ask, string? Problem) Asked(LogOrigin origin, string? station, string? channels, string? from, string? to)
    {
        var stations = Stations(origin);
        var name = stations.Find(s => s == station) ?? stations.Find(s => s == $"{StationRules.SimulatedPrefix}{station}"); // as every command takes it
        if (station is not null && name is null)
        {
            return (null, $"--station = {station}: the log has none of that name; it has {(stations.Count == 0 ? "none at all" : string.Join(", ", stations))}.");
        }

        var (wanted, problem) = channels is null ? (null, null) : ExportAsk.ChannelsOf(channels);
        if (problem is not null)
        {
            return (null, problem);
        }

        DateTimeOffset? start = null, end = null;
        if (from is not null && (start = Time(from)) is null)
        {
            return (null, WrongTime("--from", from));
        }

        if (to is not null && (end = Time(to)) is null)
        {
            return (null, WrongTime("--to", to));
        }

        return end <= start
            ? (null, $"--from = {from}, --to = {to}: --to must be later than --from.")
            : (new ExportAsk(name, wanted, start, end), null);
    }

    private static string WrongTime(string option, string value) => $"{option} = {value}: not a time. Write it as 2026-03-14, 2026-03-14T20:00Z or 2026-03-14T20:00:00Z; without Z or an offset it is UTC.";

    private static DateTimeOffset? Time(string text) => DateTimeOffset.TryParseExact(
        text, ["yyyy-MM-dd", "yyyy-MM-dd'T'HH:mmK", "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd'T'HH:mm:ss.fffK"], CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time) ? time : null;
}
