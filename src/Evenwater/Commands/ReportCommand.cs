using System.CommandLine;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Photographs;
using Evenwater.Reporting;

namespace Evenwater.Commands;

/// <summary>evenwater report: one run on paper.</summary>
internal static class ReportCommand
{
    public static Command Create()
    {
        var station = AskCommands.Station();
        var run = new Option<long?>("--run") { Description = "which run, by its number in the log; the last if not said", HelpName = "N" };
        var log = new Option<string?>("--log") { Description = "the folder of the log; the daemon's if not said", HelpName = "FOLDER" };
        var output = new Option<string>("--out") { Description = "the HTML file to write", Required = true, HelpName = "FILE" };
        var overwrite = new Option<bool>("--overwrite") { Description = "replace the file if it exists" };
        var command = new Command("report", "A run as one HTML page: what came, the curve, rates beside limits, alarms, outcomes, calibrations. Print it from a browser for a PDF.") { station, run, log, output, overwrite };
        command.SetAction((parse, _) => PenAndPaper.WithWordsAsync(() => RunAsync(
            parse.GetValue(station), parse.GetValue(run), parse.GetValue(log), parse.GetValue(output)!, parse.GetValue(overwrite))));
        return command;
    }

    private static async Task<int> RunAsync(string? station, long? wanted, string? folder, string file, bool overwrite)
    {
        if (Directory.Exists(file) || (File.Exists(file) && !overwrite))
        {
            return Exit.Wrong($"--out = {file}: {(Directory.Exists(file) ? "that is a folder. Name a file." : "it exists already. Name another, or say --overwrite.")}");
        }

        if (KeptLog.Find(folder) is not { } log)
        {
            return Exit.Wrong($"--log = {folder ?? "(not said)"}: there is no log in {folder ?? Places.State(demo: false)}. Name the daemon's state folder.");
        }

        if (OutputFile.ProblemBesideLog("--out", file, log.Folder) is { } lost)
        {
            return Exit.Wrong(lost);
        }

        var (name, problem) = log.Station(station);
        if (name is null)
        {
            return Exit.Wrong(problem!);
        }

        using var reader = new LogReader(log.Folder, KeptLog.BusySeconds);
        var runs = reader.Runs(name);
        if (runs.Count == 0 || (wanted is { } asked && !runs.Contains(asked)))
        {
            return Exit.Wrong(NoSuchRun(name, wanted, runs));
        }

        var report = ReportMaker.Of(reader, name, wanted ?? runs[^1], new PhotographFolder(log.Folder), TimeZoneInfo.Local, OwnNow.Of(reader, name, TimeProvider.System.GetUtcNow()));
        var page = await ReportFile.OfAsync(report);
        try
        {
            await File.WriteAllTextAsync(file, page);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Exit.Wrong($"--out = {file}: can not be written: {e.Message} Name another place.");
        }

        if (report.Damage is { } damage)
        {
            await Console.Error.WriteLineAsync(damage);
        }

        return Exit.Tell(true, $"Run {report.Run} of {name}: {file}. Open it in a browser; its print gives a PDF.");
    }

    /// <summary>What is said of a run that the log has not.</summary>
    internal static string NoSuchRun(string station, long? wanted, IReadOnlyList<long> runs) =>
        $"--run = {wanted?.ToString() ?? "(not said)"}: {runs switch
        {
            [] => $"{station} has had no run yet. One is reported from its beginning on.",
            [var one] => $"{station} has had one run, {one}. Leave --run out, and that is reported.",
            _ => $"the runs of {station} are {string.Join(", ", runs.TakeLast(20))}. Name one of them.",
        }}";
}
