using System.CommandLine;
using Evenwater.Calibrating;
using Evenwater.Control;
using Evenwater.Core.Planning;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Options;
using Evenwater.Running;
using Evenwater.Terminal;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>evenwater begin: starts a run, guided on a terminal, by options elsewhere; the daemon opens the valve.</summary>
internal static class BeginCommand
{
    public static Command Create()
    {
        var station = new Argument<string>("station") { Description = StationArgument.Description };
        var start = new Option<double?>("--start-volume") { Description = "bag water in the vessel, L" };
        var jug = new Option<bool?>("--jug") { Description = "that volume was measured with a jug (2 %), not judged by eye (15 %)" };
        var flow = new Option<double?>("--flow") { Description = "the drip as counted, mL/min" };
        var matched = new Option<bool?>("--matched") { Description = "both conductivity probes read alike in one cup already: no need to match them now" };
        var match = new Option<bool>("--match") { Description = "match them now, in one cup, without being asked; off a terminal they must be in the cup and go back by themselves, as simulated ones do" };
        var noMatch = new Option<bool>("--no-match") { Description = "begin with the probes unmatched; says what that costs" };
        var tank = new Option<double?>("--tank") { Description = "the tank's conductivity as measured by hand, µS/cm at 25 °C; for a station without a probe in the tank" };
        var tankSd = new Option<double?>("--tank-sd") { Description = "how well that is known, percent: 2 if not said" };
        var unpaced = new Option<bool>("--unpaced") { Description = "hold the valve open in this run, at a station with pacing" };
        var attended = new Option<bool>("--attended") { Description = "somebody stays beside it the whole time" };
        var back = new Option<string?>("--back-at") { Description = "when you will be back, HH:MM" };
        var yes = new Option<bool>("--yes") { Description = "the cautions are read and the answer is go" };
        var arrival = ArrivalUse.Option();
        var command = new Command("begin", "Start a run: volumes, probes, drip, cautions, go or no-go. The daemon opens the valve.")
        {
            station, start, jug, flow, matched, match, noMatch, tank, tankSd, attended, back, unpaced, yes, arrival,
        };
        command.SetAction((parse, stop) => RunAsync(parse.GetValue(station)!, ArrivalUse.Asked(parse, arrival), new Given(
            parse.GetValue(start), parse.GetValue(jug), parse.GetValue(flow), parse.GetValue(matched),
            new Matching(parse.GetValue(match), parse.GetValue(noMatch)), parse.GetValue(tank), parse.GetValue(tankSd), parse.GetValue(attended), parse.GetValue(back), parse.GetValue(yes), parse.GetValue(unpaced)), stop));
        return command;
    }

    private static async Task<int> RunAsync(string argument, string? arrival, Given given, CancellationToken stop)
    {
        var reading = StationArgument.Read(argument);
        if (reading.Station is not { } file)
        {
            return Exit.Wrong(argument, reading.Problems);
        }

        var station = CalibratedStation.Of(file, PlanCommand.Journal(file.Name).Book).Station;
        var (with, animals, unfit) = ArrivalUse.On(station, arrival);
        if ((unfit ?? given.Problem(station)) is { } problem)
        {
            return Exit.Wrong(problem);
        }

        if (!AtTerminal && given is { Jug: not null, StartVolume: null })
        {
            return Exit.Wrong("--jug: tells how --start-volume was measured; say that as well, in litres.");
        }

        if (!AtTerminal && !given.Yes)
        {
            return Exit.Wrong("Not on a terminal: read the cautions in README.md or of 'evenwater plan', then say --yes.");
        }

        (station, given) = (with, given with { Animals = animals });

        using var broken = new BrokenOff(
            Console.Error.WriteLine,
            "\nBroken off: the daemon was not asked to open, so nothing was opened. A probe that is in a cup goes back into its own water.",
            $"\nBroken off, but the daemon was asked already: the valve of {station.Name} opens unless that is refused. To have it closed: 'evenwater close {station.Name}'.",
            stop, CupGuide.PutBack(station));
        var console = TerminalView.ConsoleFor(Console.Out, Environment.GetEnvironmentVariable("NO_COLOR"), Console.IsOutputRedirected);
        var phase = await AskCommands.AnswerAsync(new ControlAsk("phase", station.Name));
        if (ServedFile.Otherwise(file, phase?.Served) is { } otherwise)
        {
            return Exit.Tell(false, $"Refused: {otherwise} Nothing was opened.");
        }

        if (WhyNot(phase, station.Name) is { } why)
        {
            return phase is null ? Exit.Wrong(why) : AskCommands.Told(phase with { Ok = false, Text = why });
        }

        if (!AtTerminal && Refused(phase, file, given) is { } refused)
        {
            return Exit.Tell(false, refused);
        }

        if (AtTerminal && !given.Attended && phase?.NotAlone is { } alone)
        {
            Console.WriteLine($"If nobody stays beside it, the answer to all that follows will be: {alone}");
        }

        var goesOn = phase?.Phase == Phase.Holding;
        if (!goesOn)
        {
            given = await MatchAsync(station, given, console);
        }

        if (AtTerminal)
        {
            given = goesOn ? BeginGuide.GoOn(station, given, console) : BeginGuide.Ask(station, given, console);
            if (!given.Yes)
            {
                Console.WriteLine("No-go. Nothing was opened.");
                return Exit.Bad;
            }
        }
        else if (!goesOn)
        {
            foreach (var line in ToMind(Planner.Make(given.As(station), priorOf: RunPrior.Expected)))
            {
                Console.WriteLine(line);
            }
        }

        return broken.MayAsk() ? await AskCommands.AskAsync(new ControlAsk("begin", station.Name, given.Known()) { GoesOn = goesOn }) : Exit.Bad;
    }

    /// <summary>Questions need both: with its output in a pipe ("| tee") nobody could answer them in place.</summary>
    private static bool AtTerminal => !Console.IsInputRedirected && !Console.IsOutputRedirected;

    /// <summary>Why nothing can begin, whatever is answered: told before the questions and the counting, not after them. Null when it can.</summary>
    /// <param name="phase">The daemon's answer to where the station stands; null when none answers.</param>
    /// <param name="station">Its name.</param>
    internal static string? WhyNot(ControlAnswer? phase, string station) =>
        phase is null ? AskCommands.NoDaemon()
        : !phase.Ok ? phase.Text
        : phase.Finishing is { } finishing ? finishing
        : phase.Phase is { } stands and (Phase.Armed or Phase.Dripping or Phase.Tripped) ? Answers.Explain(Core.Refusal.WrongPhase, Core.Verb.Begin, station, stands)
        : null;

    /// <summary>What the daemon would answer after all the matching, where nobody stays beside it: told before. Null where its answer rests on a volume that is only given now, or is none.</summary>
    internal static string? Refused(ControlAnswer? phase, Station file, Given given) =>
        !given.Attended && (given.StartVolume is null || phase?.Phase == Phase.Holding || Unattended.Refusals(file).Count == 0) ? phase?.NotAlone : null;

    /// <summary>What of the plan is told where nobody is shown it whole: what stands in the match's way, and ammonia.</summary>
    internal static IEnumerable<string> ToMind(Plan plan)
    {
        if (!plan.Fits)
        {
            yield return $"The plan does not end as it should, and 'evenwater plan' tells what else could be done: {string.Join(' ', plan.Obstacles.Select(obstacle => obstacle.Text))}";
        }

        if (plan.Ammonia is { TurnsHarmful: true, Text: var ammonia })
        {
            yield return ammonia;
        }
    }

    /// <summary>What measuring buys, and the probes matched in one cup unless that is not wanted.</summary>
    private static async Task<Given> MatchAsync(Station station, Given given, IAnsiConsole console)
    {
        var here = AtTerminal;
        if (here)
        {
            foreach (var line in WidthText.Of(station, given.Known()))
            {
                Console.WriteLine(line);
            }
        }

        if (station.Sensors.TankConductivity is null || given.Matched == true)
        {
            return given;
        }

        var cost = WidthText.CostOfNoMatch(station, given.Known());
        if (given.Matching.Wanted || (here && !given.Matching.Refused && await console.ConfirmAsync($"{cost} Match the probes now? It takes two to five minutes.")))
        {
            await using var led = new LedInCup(station.Name, WhoAsks.Name, AskCommands.AnswerAsync);
            var cup = await new CupGuide(
                station,
                Console.WriteLine,
                doing =>
                {
                    Console.WriteLine($"{doing}{(here ? " Then press Enter." : "")}");
                    if (here)
                    {
                        Console.ReadLine();
                    }
                }).MatchAsync();
            if (cup is not null)
            {
                return given with { Cup = cup };
            }
        }
        else if (given.Matching.Refused && cost is not null)
        {
            Console.WriteLine(cost);
        }

        return given with { Matched = given.Matched ?? (given.Matching.Refused || here ? false : null) };
    }
}
