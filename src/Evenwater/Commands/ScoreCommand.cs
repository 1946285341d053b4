using System.CommandLine;
using Evenwater.Scoring;
using Evenwater.Terminal;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>evenwater score: forecasts a folder of recorded traces and, where the truth is known, judges the forecasts.</summary>
internal static class ScoreCommand
{
    private const int MostRejectedShown = 3;

    public static Command Create()
    {
        var folder = new Argument<string>("DIR") { Description = $"the folder; each NAME{TracePlace.Suffix} in it is one trace, with NAME.csv or NAME.csv.gz" };
        var forecasts = new Option<string?>("--forecasts") { Description = "write NAME.forecast.csv of every trace into this folder, which is made", HelpName = "OUT" };
        var csv = new Option<string?>("--csv") { Description = "write one row for each trace to this CSV file", HelpName = "FILE" };
        var picture = new Option<string?>("--picture") { Description = "instead, draw one trace: what was measured, what was true, and the forecasts as they moved", HelpName = "NAME" };
        var file = new Option<string?>("--out") { Description = "with --picture: the SVG file; NAME.svg when left out", HelpName = "FILE" };
        var jobs = new Option<int>("--jobs") { Description = "how many traces at once, 1 or more", HelpName = "N", DefaultValueFactory = _ => Environment.ProcessorCount };
        jobs.Validators.Add(result =>
        {
            if (result.Tokens.Count == 1 && int.TryParse(result.Tokens[0].Value, out var given) && given < 1)
            {
                result.AddError($"--jobs {given}: allowed is 1 or more.");
            }
        });
        var command = new Command("score", "Forecast every trace of a folder, open loop, and judge the forecasts by the truth beside them.") { folder, forecasts, csv, jobs, picture, file };
        command.Validators.Add(result =>
        {
            if (result.GetResult(picture) is null ? result.GetResult(file) is not null : result.GetResult(forecasts) is not null || result.GetResult(csv) is not null)
            {
                result.AddError("--picture draws one trace and scores none: --out goes with it, --forecasts and --csv do not.");
            }
        });
        command.SetAction(parse => Run(
            new Wanted(parse.GetValue(folder)!, parse.GetValue(forecasts), parse.GetValue(csv), parse.GetValue(jobs), parse.GetValue(picture), parse.GetValue(file)),
            parse.InvocationConfiguration.Output, parse.InvocationConfiguration.Error));
        return command;
    }

    /// <summary>What is wanted of a score.</summary>
    private sealed record Wanted(string Folder, string? Forecasts, string? Csv, int Jobs, string? Picture, string? PictureFile);

    private static int Run(Wanted wanted, TextWriter output, TextWriter error)
    {
        try
        {
            var places = Directory.Exists(wanted.Folder) ? TracePlace.In(wanted.Folder) : [];
            string[] read = [.. places.SelectMany(place => new[] { place.Description, place.Data, place.Truth }).OfType<string>()];
            if ((OutputFile.Problem("--csv", wanted.Csv, read) ?? OutputFile.Problem("--out", wanted.PictureFile, read)) is { } missing)
            {
                error.WriteLine(missing);
                return Exit.WrongUse;
            }

            if (places.Count == 0)
            {
                error.WriteLine(
                    $"{wanted.Folder}: {(Directory.Exists(wanted.Folder) ? "no trace here" : "no such folder")}; needed is one with a NAME{TracePlace.Suffix} and a NAME.csv or NAME.csv.gz for each trace.");
                return Exit.WrongUse;
            }

            if (wanted.Picture is not null)
            {
                return Draw(places, wanted.Picture, wanted.PictureFile ?? $"{wanted.Picture}.svg", output, error);
            }

            if (wanted.Forecasts is not null)
            {
                Directory.CreateDirectory(wanted.Forecasts);
            }

            return Score(places, wanted, output, error);
        }
        catch (Exception e) when (e is IOException or InvalidDataException or UnauthorizedAccessException)
        {
            error.WriteLine(e.Message);
            return Exit.WrongUse;
        }
    }

    private static int Draw(IReadOnlyList<TracePlace> places, string name, string file, TextWriter output, TextWriter error)
    {
        if (places.FirstOrDefault(p => p.Name == name) is not { } place)
        {
            error.WriteLine($"--picture {name}: no such trace here; there are {string.Join(", ", places.Select(p => p.Name))}.");
            return Exit.WrongUse;
        }

        File.WriteAllText(file, TracePicture.Draw(TraceNight.Read(place)));
        output.WriteLine($"{name} is drawn in {file}.");
        return Exit.Fine;
    }

    private static int Score(IReadOnlyList<TracePlace> places, Wanted wanted, TextWriter output, TextWriter error)
    {
        var before = Environment.CpuUsage.TotalTime;
        var all = Forecast(places, wanted, error);
        var cost = Environment.CpuUsage.TotalTime - before;
        var scored = all.Select(a => a.Scored).OfType<ScoredTrace>().ToArray();
        if (wanted.Csv is not null)
        {
            using var writer = new StreamWriter(wanted.Csv);
            ScoreCsv.Write(writer, scored);
        }

        foreach (var trace in scored)
        {
            TellInput(trace, error);
        }

        foreach (var line in ScoreTable.Of(scored, cost))
        {
            output.WriteLine(line);
        }

        foreach (var (place, _, failure) in all.Where(a => a.Failure is not null))
        {
            error.WriteLine($"{place.Name}: not forecast: {failure}");
        }

        return scored.Length == all.Length ? Exit.Fine : Exit.Bad;
    }

    /// <summary>A bar while it lasts, for a person at a terminal.</summary>
    private static (TracePlace Place, ScoredTrace? Scored, string? Failure)[] Forecast(IReadOnlyList<TracePlace> places, Wanted wanted, TextWriter error)
    {
        if (!ReferenceEquals(error, Console.Error) || Console.IsErrorRedirected)
        {
            return Scorer.All(places, wanted.Forecasts, wanted.Jobs, () => { });
        }

        (TracePlace, ScoredTrace?, string?)[] all = [];
        var console = TerminalView.ConsoleFor(error, Environment.GetEnvironmentVariable("NO_COLOR"), redirected: false);
        console.Progress().AutoClear(true).Start(context =>
        {
            var task = context.AddTask($"{places.Count} traces", maxValue: places.Count);
            all = Scorer.All(places, wanted.Forecasts, wanted.Jobs, () => task.Increment(1));
        });
        return all;
    }

    /// <summary>What was wrong with a trace that was forecast all the same.</summary>
    private static void TellInput(ScoredTrace trace, TextWriter error)
    {
        foreach (var column in trace.UnknownColumns)
        {
            error.WriteLine($"{trace.Name}: column {column} means nothing here and was not read.");
        }

        foreach (var complaint in trace.Outcome.Complaints(MostRejectedShown))
        {
            error.WriteLine($"{trace.Name}: {complaint}");
        }
    }
}
