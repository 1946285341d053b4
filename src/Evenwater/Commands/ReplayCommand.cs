using System.CommandLine;
using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Hardware.Trace;
using Evenwater.Options;
using Evenwater.Running;
using Evenwater.Scoring;

namespace Evenwater.Commands;

/// <summary>evenwater replay: a recorded trace through the very same cycle.</summary>
internal static class ReplayCommand
{
    private const string PriorSuffix = ".meta.json";

    public static Command Create()
    {
        var trace = new Option<string>("--trace") { Description = "the trace, .csv or .csv.gz", Required = true };
        var station = new Option<string>("--station") { Description = $"{StationArgument.Description}; or NAME{PriorSuffix}, whose prior is used", Required = true };
        var output = new Option<string>("--out") { Description = "where the forecasts go, CSV", Required = true };
        var openLoop = new Option<bool>("--open-loop") { Description = "the trace's valve is what happened (always so: a recording cannot be changed)" };
        var command = new Command("replay", "Feed a recorded trace through the very same cycle and write its forecasts.") { trace, station, output, openLoop };
        command.SetAction(parse => Run(
            parse.GetValue(trace)!, parse.GetValue(station)!, parse.GetValue(output)!,
            parse.InvocationConfiguration.Output, parse.InvocationConfiguration.Error));
        return command;
    }

    private static int Run(string tracePath, string stationText, string outputPath, TextWriter output, TextWriter error)
    {
        try
        {
            if (!File.Exists(tracePath))
            {
                error.WriteLine($"--trace {tracePath}: there is no such file; give a recording, .csv or .csv.gz.");
                return Exit.WrongUse;
            }

            if (OutputFile.Problem("--out", outputPath, tracePath, stationText) is { } problem)
            {
                error.WriteLine(problem);
                return Exit.WrongUse;
            }

            Station station;
            Prior prior;
            if (stationText.EndsWith(PriorSuffix, StringComparison.Ordinal))
            {
                prior = TracePrior.Read(stationText);
                station = TraceStation.Of(prior);
            }
            else if (StationArgument.Read(stationText) is var reading && reading.Station is { } known)
            {
                station = known;
                prior = RunPrior.Expected(station);
            }
            else
            {
                return Exit.Wrong(error, stationText, reading.Problems);
            }

            using var trace = TraceFile.Open(tracePath);
            using var writer = new StreamWriter(outputPath);
            var file = new ForecastFile(writer);
            var outcome = TraceReplay.Run(trace, station, prior, e => e.WriteTo(file));
            foreach (var column in trace.UnknownColumns)
            {
                error.WriteLine($"Column {column} means nothing here and was not read.");
            }

            foreach (var complaint in outcome.Complaints(TraceFile.MostDescribed))
            {
                error.WriteLine($"{char.ToUpperInvariant(complaint[0])}{complaint[1..]}");
            }

            return Tell(outcome, output, error);
        }
        catch (Exception e) when (e is IOException or InvalidDataException or UnauthorizedAccessException)
        {
            error.WriteLine(e.Message);
            return Exit.WrongUse;
        }
    }

    private static int Tell(TraceOutcome outcome, TextWriter output, TextWriter error)
    {
        output.WriteLine($"{HowMany.Of(outcome.Rows, "row")} read, {outcome.Rejected} rejected.");
        if (outcome.Evaluations == 0)
        {
            error.WriteLine($"Nothing was forecast: {Scorer.FirstComes}.");
            return Exit.Bad;
        }

        output.WriteLine(outcome.Decision.ClosedAt is { } at
            ? $"Would have closed at {at:0} s: {Words.Of(outcome.Decision.Trip)}."
            : "Would have stayed open.");
        return Exit.Fine;
    }
}
