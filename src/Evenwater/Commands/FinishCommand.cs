using System.CommandLine;
using System.Globalization;
using Evenwater.Control;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;
using Microsoft.Data.Sqlite;

namespace Evenwater.Commands;

/// <summary>evenwater finish: the release step by step, the count, and the end of the run.</summary>
internal static class FinishCommand
{
    private const int MostAnimals = 100_000;

    private const string NotEnded = "\nBroken off: the run is not ended, its valve is as it was last told, and no count was kept. 'evenwater finish' begins again at the first step.";

    public static Command Create()
    {
        var station = AskCommands.Station();
        var alive = new Option<int?>("--alive") { Description = "animals alive, kept in the book" };
        var dead = new Option<int?>("--dead") { Description = "animals dead, kept in the book" };
        var by = new Option<string?>("--by") { Description = "who does it; the user's name if not said", HelpName = "NAME" };
        var command = new Command("finish", "End a run: the release step by step, the count of the animals kept, and when to look at them again.") { station, alive, dead, by };
        command.SetAction((parse, stop) => PenAndPaper.WithWordsAsync(() => RunAsync(parse.GetValue(station), parse.GetValue(alive), parse.GetValue(dead), parse.GetValue(by) ?? WhoAsks.Name, stop)));
        return command;
    }

    private static async Task<int> RunAsync(string? station, int? alive, int? dead, string by, CancellationToken stop)
    {
        if (Impossible(alive, dead) is { } impossible)
        {
            return Exit.Wrong(impossible);
        }

        using var broken = new BrokenOff(
            Console.Error.WriteLine,
            NotEnded,
            "\nBroken off, but the daemon was asked already: the run is ended unless that is refused. Whether the count is in the book 'evenwater journal' tells; else note it with 'evenwater arrival --outcome release'.",
            stop);
        var here = !Console.IsInputRedirected;
        var release = new ControlAsk("release", station, Note: here ? by : null);
        var steps = await AskCommands.AnswerAsync(release); // from here on nobody goes on with the run, so that the phase stays as it is read now
        var named = steps?.Arrival;
        if (TooMany(station, named, alive, dead) is { } wrong)
        {
            return Exit.Wrong($"{wrong} The run goes on; finish it with the right count.");
        }

        var phase = await AskCommands.AnswerAsync(new ControlAsk("phase", station));
        here &= CanEnd(phase);
        using var led = here ? new Timer(_ => _ = AskCommands.AnswerAsync(release), null, Led.SaidEvery, Led.SaidEvery) : null;
        if (here && MayRunIn(phase!))
        {
            Console.WriteLine("The valve is open, and water would run on into a vessel that you empty. Press Enter: it is closed now, and then comes the release, step by step. Ctrl-C leaves all as it is.");
            if (Console.ReadLine() is null)
            {
                return Exit.Tell(false, NotEnded);
            }

            if (await AskCommands.AskAsync(new ControlAsk("close", station)) is not Exit.Fine and var not)
            {
                return not;
            }

            steps = await AskCommands.AnswerAsync(release);
        }

        if (!Lead(steps is { Ok: true } ? steps.Text.Split('\n') : [], Console.WriteLine, here ? Console.ReadLine : null))
        {
            return Exit.Tell(false, NotEnded);
        }

        var (living, lost) = (alive, dead);
        string? many;
        do
        {
            (alive, dead) = (living, lost);
            if (here && !(Counted("How many are alive? (Enter: not counted)", ref alive, Console.WriteLine, Console.ReadLine)
                && Counted("How many are dead? (Enter: not counted)", ref dead, Console.WriteLine, Console.ReadLine)))
            {
                return Exit.Tell(false, NotEnded);
            }

            many = TooMany(station, named, alive, dead);
            Console.Write(many is null ? "" : many + "\n");
        }
        while (many is not null && here);
        var note = alive is null && dead is null ? null : $"alive {Said(alive)}, dead {Said(dead)}";
        if (!broken.MayAsk())
        {
            return Exit.Bad;
        }

        var ended = await AskCommands.AskAsync(new ControlAsk("finish", station, Note: note));
        if (ended == Exit.Fine)
        {
            return await NoteAsync(station, named, alive, dead, by);
        }

        return ended == Exit.Bad && NotKept(station, alive, dead) is { } told ? Exit.Tell(false, told) : ended;
    }

    /// <summary>Leads through the release. A line that ends without Enter, as by Ctrl-D or a terminal that is gone, is no step done: by it alone a run was ended.</summary>
    /// <param name="steps">The steps.</param>
    /// <param name="say">Tells a line.</param>
    /// <param name="answer">Waits for Enter; null from it when nobody answers any more. Null where nobody is asked.</param>
    /// <returns>Whether it was gone through to its end.</returns>
    internal static bool Lead(IReadOnlyList<string> steps, Action<string> say, Func<string?>? answer)
    {
        for (var i = 0; i < steps.Count; i++)
        {
            say($"{i + 1}. {steps[i]}{(answer is null ? "" : " Then press Enter.")}");
            if (answer is not null && answer() is null)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>What becomes of a count when the run can not be ended, as after a trip in the midst of the release; null when nothing was counted.</summary>
    internal static string? NotKept(string? station, int? alive, int? dead)
    {
        if (alive is null && dead is null)
        {
            return null;
        }

        var named = station is null ? "" : $" {station}";
        var count = $"{(alive is null ? "" : $" --alive {alive}")}{(dead is null ? "" : $" --dead {dead}")}";
        return $"The count is not in the book yet. When the run can be ended: 'evenwater finish{named}{count}'. "
            + $"When it has ended already: 'evenwater arrival{named} --outcome release{count}'.";
    }

    /// <summary>What is wrong with a count that nobody can have counted; null when nothing is.</summary>
    internal static string? Impossible(int? alive, int? dead) => alive is < 0 or > MostAnimals || dead is < 0 or > MostAnimals
        ? $"--alive = {Said(alive)}, --dead = {Said(dead)}: allowed is 0 to {MostAnimals} animals. Say how many you counted."
        : null;

    /// <summary>Whether water runs in, or is about to.</summary>
    internal static bool MayRunIn(ControlAnswer phase) => phase.Phase is Phase.Armed or Phase.Dripping;

    /// <summary>Whether there is a run to end: else to count the animals would be for nothing.</summary>
    /// <param name="phase">The daemon's answer; null when none answers.</param>
    internal static bool CanEnd(ControlAnswer? phase) => phase?.Phase is Phase.Armed or Phase.Dripping or Phase.Holding;

    /// <summary>What is wrong with a count that the book would refuse; told before the run is ended, for then nobody asks again. Null when nothing is, or when the book can not be read: a run ends without it.</summary>
    private static string? TooMany(string? station, string? named, int? alive, int? dead)
    {
        try
        {
            return (alive is not null || dead is not null) && PenAndPaper.Book(station).Book is { } book && Released(book, named)?.Animals.Count is { } came && (alive ?? 0) + (dead ?? 0) > came
                ? MoreThan(came, alive, dead)
                : null;
        }
        catch (Exception e) when (e is SqliteException or LogUnusableException or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <summary>Whose animals are let in: those of the arrival that the run names; else the latest that were not.</summary>
    private static Came? Released(Book book, string? named) => named is not null && Arrivals.Find(book, named) is { } told ? told : Arrivals.LatestOpen(book);

    /// <summary>Notes what was counted, so that the looks after a day and a week fall due. Without an arrival in the book and without a count there is nothing to note.</summary>
    private static async Task<int> NoteAsync(string? station, string? named, int? alive, int? dead, string by)
    {
        var open = PenAndPaper.Book(station).Book is { } book ? Released(book, named) : null;
        if (NobodyIsAsked(open) is { } told)
        {
            Console.WriteLine(told);
            if (alive is null && dead is null) return Exit.Fine;
        }

        var before = open?.Of(Look.Release);
        if (before is not null && alive is null && dead is null)
        {
            Console.WriteLine($"The release of {open!.Note.Id} stands in the book already, as {before.Id}.");
            return Exit.Fine;
        }

        return await PenAndPaper.WriteAsync(station, Release(open, before, alive, dead, by));
    }

    /// <summary>What is told where no look will fall due, though the last step of the release says that it is asked for; null where it will.</summary>
    internal static string? NobodyIsAsked(Came? open) => open is not null
        ? null
        : "No arrival that was still to be let in stands in the book, so this release asks for no look; 'evenwater arrival' lists those that are due. To be asked after 24 hours and 7 days note what came, 'evenwater arrival --add SPECIES --count N', and its release, 'evenwater arrival --outcome release'.";

    /// <summary>The release as it is noted; in place of the one that somebody noted before the run was ended.</summary>
    internal static Note Release(Came? open, Note? before, int? alive, int? dead, string by) => new()
    {
        Kind = NoteKind.Outcome, By = by, Corrects = before?.Id, Text = before?.Text ?? "",
        Outcome = new OutcomeRecord { Look = Look.Release, Arrival = open?.Note.Id, Run = before?.Outcome!.Run, Alive = alive, Dead = dead },
    };

    /// <summary>What is told of a count that can not be.</summary>
    internal static string MoreThan(int came, int? alive, int? dead) => $"--alive = {Said(alive)}, --dead = {Said(dead)}: allowed is at most the {came} that came, together. Count again, or correct the arrival.";

    private static string Said(int? animals) => animals?.ToString() ?? "not counted";

    /// <summary>Asks for a count that was not given.</summary>
    /// <param name="question">The question.</param>
    /// <param name="count">What was given; what is answered, null for not counted.</param>
    /// <param name="say">Tells a line.</param>
    /// <param name="answer">The line that is answered; null when nobody answers any more.</param>
    /// <returns>Whether somebody answered.</returns>
    internal static bool Counted(string question, ref int? count, Action<string> say, Func<string?> answer)
    {
        while (count is null)
        {
            say(question);
            if (answer()?.Trim() is not { } told)
            {
                return false;
            }

            if (told.Length == 0)
            {
                return true;
            }

            if (int.TryParse(told, NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number <= MostAnimals)
            {
                count = number;
            }
            else
            {
                say($"{told}: allowed is 0 to {MostAnimals}. Say a number, or press Enter.");
            }
        }

        return true;
    }
}
