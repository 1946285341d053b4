using System.CommandLine;
using System.Globalization;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.Options;
using Evenwater.Running;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>evenwater plan STATION: the answer before a run. Exit code 0: fits; 1: does not; 2: wrong use.</summary>
internal static class PlanCommand
{
    private const double LeastHours = 0.5;

    public static Command Create()
    {
        var station = new Argument<string>("STATION") { Description = StationArgument.Description };
        var hours = new Option<double?>("--hours")
        {
            Description = $"propose a drip rate that is even after this many hours, {LeastHours} to {Course.HorizonHours}",
            HelpName = "H",
        };
        hours.Validators.Add(result =>
        {
            // Asking for the value of a text that is no number would throw here; that error is the library's to tell.
            if (result.Tokens.Count == 1 && double.TryParse(result.Tokens[0].Value, CultureInfo.InvariantCulture, out var given)
                && given is not (>= LeastHours and <= Course.HorizonHours))
                result.AddError($"--hours {result.Tokens[0].Value}: allowed are {LeastHours} to {Course.HorizonHours} h.");
        });
        var arrival = ArrivalUse.Option();
        var command = new Command("plan", "Before a run: does it fit, how fast to drip, when is it even, what could go wrong.") { station, hours, arrival };
        command.SetAction(result =>
        {
            var reading = StationArgument.Read(result.GetRequiredValue(station));
            if (reading.Station is { } file && ArrivalUse.Asked(result, arrival) is { } asked)
            {
                var (with, _, problem) = ArrivalUse.On(file, asked);
                if (problem is not null)
                {
                    return Exit.Wrong(problem);
                }

                reading = StationReading.Good(with);
            }

            return Run(
                reading, result.GetValue(hours), result.InvocationConfiguration.Output, result.InvocationConfiguration.Error,
                cautioned: reading.Station is { } read && CautionText.IsAcknowledged(read.Name));
        });
        return command;
    }

    public static int Run(StationReading reading, double? hours, TextWriter output, TextWriter error, bool cautioned = false)
    {
        if (reading.Station is not { } station)
        {
            foreach (var problem in reading.Problems) error.WriteLine(problem.ToString());
            return 2;
        }

        var plan = Planner.Make(station, hours);
        var paper = Paper.For(output);
        PlanText.Write(paper, station, plan);
        var widths = WidthText.Of(station, new StartKnown(TankMicrosiemensPerCm: station.Waters.TankMicrosiemensPerCm));
        foreach (var line in widths.Prepend(""))
        {
            paper.WriteLine(line);
        }

        if (!cautioned)
        {
            paper.WriteLine();
            CautionText.Write(paper);
        }

        return plan.Fits ? 0 : 1;
    }
}
