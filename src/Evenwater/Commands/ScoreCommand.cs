using System.CommandLine;
using Evenwater.Scoring;

namespace Evenwater.Commands;

/// <summary>evenwater score: forecasts a folder of recorded traces and, where the truth is known, judges the forecasts.</summary>
internal static class ScoreCommand
{
    private const int MostRejectedShown = 3;

    public static Command Create()
    {
        var folder = new Argument<string>("DIR") { Description = $"the folder; each NAME{TracePlace.Suffix} in it is one trace, with NAME.csv or NAME.csv.gz" };
        var forecasts = new Option<string?>("--forecasts") { Description = "write NAME.forecast.csv of every trace into this folder, which is made" };
        var csv = new Option<string?>("--csv") { Description = "write one row for each trace to this CSV file" };
        var jobs = new Option<int>("--jobs") { Description = "how many traces at once, 1 or more", DefaultValueFactory = _ => Environment.ProcessorCount };
        jobs.Validators.Add(result =>
        {
            if (result.Tokens.Count == 1 && int.TryParse(result.Tokens[0].Value, out var given) && given < 1)
            {
                result.AddError($"--jobs {given}: allowed is 1 or more.");
            }
        });
        var command = new Command("score", "Forecast every trace of a folder, open loop, and judge the forecasts by the truth beside them.") { folder, forecasts, csv, jobs };
        command.SetAction(parse => Run(parse.GetValue(folder)!, parse.GetValue(forecasts), parse.GetValue(csv), parse.GetValue(jobs)));
        return command;
    }

    private static int Run(string folder, string? forecasts, string? csv, int jobs)
    {
        try
        {
            var places = TracePlace.In(folder);
            if (places.Count == 0)
            {
                return Exit.Wrong($"{folder}: no trace here; each trace needs a NAME{TracePlace.Suffix}.");
            }

            if (forecasts is not null)
            {
                Directory.CreateDirectory(forecasts);
            }

            return Score(places, forecasts, csv, jobs);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Exit.Wrong(e.Message);
        }
    }

    private static int Score(IReadOnlyList<TracePlace> places, string? forecasts, string? csv, int jobs)
    {
        var before = Environment.CpuUsage.TotalTime;
        var all = Scorer.All(places, forecasts, jobs, () => { });
        var cost = Environment.CpuUsage.TotalTime - before;
        var scored = all.Select(a => a.Scored).OfType<ScoredTrace>().ToArray();
        if (csv is not null)
        {
            using var writer = new StreamWriter(csv);
            ScoreCsv.Write(writer, scored);
        }

        foreach (var trace in scored)
        {
            TellInput(trace);
        }

        Tell(scored, cost);
        foreach (var (place, _, failure) in all.Where(a => a.Failure is not null))
        {
            Console.Error.WriteLine($"{place.Name}: not forecast: {failure}");
        }

        return scored.Length == all.Length ? Exit.Fine : Exit.Bad;
    }

    /// <summary>What was wrong with a trace that was forecast all the same.</summary>
    private static void TellInput(ScoredTrace trace)
    {
        foreach (var column in trace.UnknownColumns)
        {
            Console.Error.WriteLine($"{trace.Name}: column {column} means nothing here and was not read.");
        }

        foreach (var row in trace.Outcome.Described.Take(MostRejectedShown))
        {
            Console.Error.WriteLine($"{trace.Name}: rejected {row}");
        }

        if (trace.Outcome.Rejected > MostRejectedShown)
        {
            Console.Error.WriteLine($"{trace.Name}: {trace.Outcome.Rejected} rows rejected in all; replay tells more of them.");
        }
    }

    private static void Tell(ScoredTrace[] scored, TimeSpan cost)
    {
        var judged = scored.Where(t => t.Truth is not null).ToArray();
        if (judged.Length > 0)
        {
            foreach (var part in new[] { ScoreTable.Forecasts(judged), ScoreTable.Decisions(judged), ScoreTable.Recognitions(judged) })
            {
                foreach (var line in part)
                {
                    Console.WriteLine(line);
                }

                Console.WriteLine();
            }
        }

        var updates = scored.Sum(t => t.Outcome.Evaluations);
        Console.WriteLine($"{scored.Length} traces forecast, {judged.Length} judged, {scored.Length - judged.Length} without truth. "
            + $"{updates} updates, {(updates == 0 ? 0 : cost.TotalMilliseconds / updates):0.000} ms of processor each, with reading and all cycles between.");
    }
}
