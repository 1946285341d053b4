using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>The guided questions of begin, each with what its answer is worth.</summary>
internal static class BeginGuide
{
    private const int DropsToCount = 20;

    private const string NoNumber = "Not a number. Write it with a point and without any comma, such as 2.5.";

    /// <summary>Asks what was not given.</summary>
    public static Given Ask(Station station, Given given, IAnsiConsole console)
    {
        var volume = given.StartVolume ?? console.Prompt(VolumePrompt(station, given));
        var jug = given.Jug ?? console.Confirm("Measured with a jug? (By eye the level is known to 15 %, with a jug to 2 %.)");
        var tank = given.Tank ?? (station.Sensors.TankConductivity is null
            ? console.Prompt(TankPrompt(station, given))
            : null);
        var counted = given.Flow is null ? Count(station, given, console, () => Console.ReadKey(intercept: true).Key, TimeProvider.System) : null;
        var flow = given.Flow ?? counted;
        var attended = given.Attended || console.Confirm("Will somebody stay beside it the whole time?", false);
        var back = given.BackAt ?? (attended ? null : console.Prompt(BackPrompt(station, given)));
        var asked = given with
        {
            StartVolume = volume,
            Jug = jug,
            Flow = flow,
            FlowRelativeSd = counted is null ? given.FlowRelativeSd : station.Drip.DropRelativeSd,
            Tank = tank,
            Attended = attended,
            BackAt = back,
        };
        if (asked.Problem(station) is { } problem)
        {
            console.WriteLine(problem);
            return asked with { Yes = false };
        }

        if (!CautionText.IsAcknowledged(station.Name))
        {
            console.WriteLine();
            CautionText.Write(console);
        }

        var planned = asked.As(station);
        var clock = PlanClock.Now(TimeProvider.System);
        var (wishes, unread) = Away(station, back, clock);
        PlanText.Write(console, PlanPage.Of(planned, clock, wishes: wishes, book: PlanCommand.Journal(station.Name).Book), more: false, chart: console.Profile.Out.IsTerminal);
        if (unread is not null)
        {
            console.WriteLine(unread);
        }

        return asked with { Yes = given.Yes || console.Confirm("Go?", false) };
    }

    // What can not be is told at its own question, and asked again: at the end of them all, everything would have to be answered anew.
    internal static TextPrompt<double> VolumePrompt(Station station, Given given) => new TextPrompt<double>("Bag water in the vessel, L?")
        .DefaultValue(station.Vessel.StartVolumeLitres).ValidationErrorMessage(NoNumber).Validate(litres => Judged(station, given with { StartVolume = litres }, "start-volume"));

    internal static TextPrompt<double> TankPrompt(Station station, Given given) => new TextPrompt<double>("There is no probe in the tank. Its conductivity as you measured it, µS/cm at 25 °C?")
        .ValidationErrorMessage(NoNumber).Validate(tank => Judged(station, given with { Tank = tank }, "tank"));

    internal static TextPrompt<string> BackPrompt(Station station, Given given) => new TextPrompt<string>("When will you be back, HH:MM?")
        .DefaultValue("07:00").Validate(back => Judged(station, given with { BackAt = back }, "back-at"));

    /// <summary>Of what is given only the answer is judged: the rest is asked yet, or was judged before.</summary>
    private static ValidationResult Judged(Station station, Given given, string option) =>
        Wrong(station, given, option) is { } problem ? ValidationResult.Error(Markup.Escape(problem)) : ValidationResult.Success();

    private static string? Wrong(Station station, Given given, string option) =>
        given.Problem(station) is { } problem && problem.StartsWith($"--{option} ", StringComparison.Ordinal) ? problem : null;

    /// <summary>Asks before a run that was closed goes on: what is known of it stands, and is not asked again.</summary>
    public static Given GoOn(Station station, Given given, IAnsiConsole console)
    {
        console.WriteLine($"{station.Name} holds a run whose volume is known: this goes on with it. For new animals finish it first, then begin.");
        var attended = given.Attended || console.Confirm("Will somebody stay beside it the whole time?", false);
        return given with { Attended = attended, Yes = given.Yes || console.Confirm("Go on?", false) };
    }

    /// <summary>Away from the start until then, so that the plan tells what comes of it; it may be past midnight, and past a change of the clocks. Or why that hour can not be.</summary>
    internal static (PlanWishes? Wishes, string? Problem) Away(Station station, string? back, PlanClock clock) =>
        back is null ? (null, null) : clock.Read("--back-at", back, 0, "now") switch
        {
            (_, { } problem) => (null, problem),
            var (hours, _) => (new PlanWishes { BackHours = hours, Present = KeeperHours.Present(station.Keeper, clock, null, hours) }, null),
        };

    /// <summary>The drip counted by tapping a key at each drop, anew where the rate can not be; null when the keeper would rather not.</summary>
    internal static double? Count(Station station, Given given, IAnsiConsole console, Func<ConsoleKey> key, TimeProvider time)
    {
        while (true)
        {
            console.WriteLine($"Count the drip: press the space bar at each of {DropsToCount + 1} drops, or Enter to skip.");
            long first = 0;
            for (var drops = 0; drops <= DropsToCount; drops++)
            {
                if (key() == ConsoleKey.Enter)
                {
                    return null;
                }

                first = drops == 0 ? time.GetTimestamp() : first;
            }

            var minutes = time.GetElapsedTime(first).TotalMinutes;
            var flow = DropsToCount / minutes * station.Drip.DropMillilitres;
            console.WriteLine($"{DropsToCount / minutes:0} drops a minute: about {flow:0.0#} mL/min, give or take {station.Drip.DropRelativeSd * 100:0} %.");
            if (Wrong(station, given with { Flow = flow }, "flow") is not { } wrong)
            {
                return flow;
            }

            console.WriteLine(wrong);
        }
    }
}
