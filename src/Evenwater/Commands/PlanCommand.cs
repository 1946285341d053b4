using System.CommandLine;
using System.Globalization;
using Evenwater.Calibrating;
using Evenwater.Core.Keeping;
using Evenwater.Core.Planning;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Microsoft.Data.Sqlite;
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
            if (result.Tokens.Count == 1 && double.TryParse(result.Tokens[0].Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var given)
                && given is not (>= LeastHours and <= Course.HorizonHours))
                result.AddError($"--hours {result.Tokens[0].Value}: allowed are {LeastHours} to {Course.HorizonHours} h.");
        });
        var arrival = ArrivalUse.Option();
        var start = Hour("--start", "when it begins; now, when left out");
        var by = Hour("--by", "when you want it done: says whether it will be, and at which drip it would");
        var leave = Hour("--leave", "when you go away");
        var back = Hour("--back", "when you mean to be back: tells how things stand then, and if you are two hours late or the drip runs twice as fast");
        var more = new Option<bool>("--more") { Description = "all figures, all reasons, and what measuring better would buy" };
        var plain = new Option<bool>("--plain") { Description = "lines of text in place of the chart, as anywhere but on a terminal" };
        var command = new Command("plan", "Before a run: does it fit, how fast to drip, when is it even, what could go wrong.") { station, hours, arrival, start, by, leave, back, more, plain };
        command.SetAction(result =>
        {
            var reading = StationArgument.Read(result.GetRequiredValue(station));
            string? arrived = null;
            if (reading.Station is { } file && ArrivalUse.Asked(result, arrival) is { } came)
            {
                var (with, animals, problem) = ArrivalUse.On(file, came);
                if (problem is not null)
                {
                    return Exit.Wrong(problem);
                }

                reading = StationReading.Good(with);
                arrived = animals?.Arrival;
            }

            var asked = new Asked(result.GetValue(hours), result.GetValue(start), result.GetValue(by), result.GetValue(leave), result.GetValue(back), result.GetValue(more), result.GetValue(plain), arrived);
            return Run(
                reading, asked, TimeProvider.System, Journal(reading.Station?.Name), result.InvocationConfiguration.Output, result.InvocationConfiguration.Error,
                cautioned: reading.Station is { } read && CautionText.IsAcknowledged(read.Name));
        });
        return command;

        static Option<string?> Hour(string name, string what) => new(name) { Description = $"{what} (HH:MM, or YYYY-MM-DD HH:MM)", HelpName = "TIME" };
    }

    /// <summary>The keeper's book of a station, if there is a log that knows it; or why it can not be read.</summary>
    internal static (Book? Book, string? Problem) Journal(string? station)
    {
        if (station is null) return default;
        try
        {
            return (PenAndPaper.BookOf(station).Book, null);
        }
        catch (Exception e) when (e is SqliteException or LogUnusableException or IOException or UnauthorizedAccessException)
        {
            return (null, e.Message);
        }
    }

    /// <summary>What is asked for beside the station.</summary>
    public sealed record Asked(
        double? Hours = null, string? Start = null, string? By = null, string? Leave = null, string? Back = null, bool More = false, bool Plain = false, string? Arrival = null);

    public static int Run(StationReading reading, Asked asked, TimeProvider time, (Book? Book, string? Problem) journal, TextWriter output, TextWriter error, bool cautioned = false)
    {
        if (reading.Station is not { } file)
        {
            foreach (var problem in reading.Problems) error.WriteLine(problem.ToString());
            return 2;
        }

        var (station, calibrated) = CalibratedStation.Of(file, journal.Book);
        var problems = new List<string>();
        var clock = PlanClock.Now(time);
        if (Read("--start", asked.Start, 0, "now") is { } later) clock = new PlanClock(clock.At(later), time.LocalTimeZone);
        var by = Read("--by", asked.By, 0, "the start");
        var leave = Read("--leave", asked.Leave, 0, "the start");
        var back = Read("--back", asked.Back, leave ?? 0, leave is null ? "the start" : "--leave");
        if (problems.Count > 0)
        {
            foreach (var problem in problems) error.WriteLine(problem);
            return 2;
        }

        var page = PlanPage.Of(station, clock, asked.Hours, new PlanWishes
        {
            DoneByHours = by,
            LeaveHours = leave,
            BackHours = back,
            Present = KeeperHours.Present(station.Keeper, clock, leave, back),
        }, journal.Book, asked.Arrival is { } id && journal.Book is { } book ? Arrivals.Find(book, id)?.Animals.Group : null);
        var paper = Paper.For(output);
        if (journal.Problem is { } unread) paper.WriteLine($"The journal could not be read, so nothing is said of remedies or tests: {unread} Calibrations made since the station file was written are left out too.");
        PlanText.Write(paper, page, asked.More, chart: !asked.Plain && paper.Profile.Out.IsTerminal);
        foreach (var line in calibrated) paper.WriteLine(line);
        if (asked.More)
        {
            foreach (var line in WidthText.Of(station, new StartKnown(TankMicrosiemensPerCm: station.Waters.TankMicrosiemensPerCm)).Prepend("")) paper.WriteLine(line);
        }

        if (!cautioned)
        {
            paper.WriteLine();
            CautionText.Write(paper);
        }

        return page.Plan.Fits ? 0 : 1;

        double? Read(string option, string? text, double afterHours, string after)
        {
            if (text is null) return null;
            var (found, problem) = clock.Read(option, text, afterHours, after);
            if (problem is not null) problems.Add(problem);
            return problem is null ? found : null;
        }
    }
}
