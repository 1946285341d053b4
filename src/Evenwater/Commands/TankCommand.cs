using System.CommandLine;
using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.Keeping;

namespace Evenwater.Commands;

/// <summary>evenwater tank: how a tank is against its own past and by its book, and what a keeper measures and sees in it.</summary>
internal static class TankCommand
{
    public static Command Create()
    {
        var station = AskCommands.Station();
        var log = new Option<string?>("--log") { Description = "from the log in this folder; the daemon's if not said", HelpName = "FOLDER" };
        var command = new Command("tank", "The tank against its own past: what is unusual, due, dosed, lost, tested, seen. Exit code 1: beyond a limit of yours.") { station, log };
        command.SetAction((parse, _) => PenAndPaper.WithWordsAsync(() => Task.FromResult(Show(parse.GetValue(station), parse.GetValue(log)))));
        command.Subcommands.Add(TestCommand());
        command.Subcommands.Add(LookCommand());
        command.Subcommands.Add(TroubleCommand());
        return command;
    }

    private static int Show(string? asked, string? folder)
    {
        if (KeptLog.Find(folder) is not { } log)
        {
            return Exit.Wrong(KeptLog.NotThere(folder));
        }

        var (name, problem) = log.Station(asked);
        if (name is null)
        {
            return Exit.Wrong(problem!);
        }

        var record = TankHistory.Read(log.Folder, name, TimeZoneInfo.Local, TimeProvider.System.GetUtcNow());
        foreach (var line in TankText.Of(record, TimeZoneInfo.Local))
        {
            Console.WriteLine(line);
        }

        return record.Channels.Any(channel => channel.BeyondLimit == true) ? Exit.Bad : Exit.Fine;
    }

    private static Command TestCommand()
    {
        var of = new Argument<string>("WHAT") { Description = $"one of {string.Join(", ", Substances.Symbols)}" };
        var value = new Argument<double>("VALUE") { Description = "what was read: mg/L, for GH and KH °dH" };
        var step = new Option<double?>("--step") { Description = "from one step of the kit's scale to the next where it was read; it says how sure the reading is" };
        var below = new Option<bool>("--below") { Description = "the kit showed nothing: it is less than VALUE" };
        return Writes("test", "Note a test by hand.", [of, value], [step, below], (parse, note) => Substances.Named(parse.GetValue(of)) is not { } substance
            ? (null, $"WHAT = {parse.GetValue(of)}: allowed is one of {string.Join(", ", Substances.Symbols)}.")
            : parse.GetValue(step) is not { } known
            ? (null, "--step: not given. Allowed: more than 0. Give how far apart two neighbouring colours or drops of the kit are: without it nobody can tell a change from a reading.")
            : (note with { Kind = NoteKind.Test, Test = new() { Of = substance, Value = parse.GetValue(value), Step = known, Below = parse.GetValue(below) } }, null));
    }

    private static Command LookCommand()
    {
        var names = string.Join(", ", Enum.GetValues<Sight>().Select(Sights.Name));
        var of = new Argument<string>("WHAT") { Description = $"one of {names}" };
        var step = new Argument<int>("STEP") { Description = "1 to 5; a wrong one is answered with what each means" };
        return Writes("look", "Note what you see, on a scale of five.", [of, step], [], (parse, note) => Sights.Named(parse.GetValue(of)) is { } sight
            ? (note with { Kind = NoteKind.Observation, Observation = new(sight, parse.GetValue(step)) }, null)
            : (null, $"WHAT = {parse.GetValue(of)}: allowed is one of {names}."));
    }

    private static Command TroubleCommand()
    {
        var open = new Option<string?>("--open") { Description = "something is wrong: its name, as you would name it the next time", HelpName = "NAME" };
        var tried = new Option<string?>("--tried") { Description = "something was done about the trouble that this note opened", HelpName = "ID" };
        var close = new Option<string?>("--close") { Description = "that trouble is over", HelpName = "ID" };
        return Writes("trouble", "Open a trouble, note what was tried, close it. 'evenwater tank' shows what helped the last time.", [], [open, tried, close], (parse, note) =>
        {
            var (name, at, over) = (parse.GetValue(open), parse.GetValue(tried), parse.GetValue(close));
            return new[] { name, at, over }.Count(said => said is not null) != 1
                ? (null, "--open, --tried, --close: say one of them.")
                : (note with
                {
                    Kind = NoteKind.Trouble,
                    Trouble = name is not null ? new(TroubleStep.Opened, name) : new(at is not null ? TroubleStep.Tried : TroubleStep.Closed, Of: at ?? over),
                }, null);
        });
    }

    /// <summary>A command that writes one note, with the options that all of them have.</summary>
    private static Command Writes(string name, string what, Argument[] arguments, Option[] options, Func<ParseResult, Note, (Note? Note, string? Problem)> make)
    {
        var station = new Argument<string>("station") { Description = "the station's name; always said here" };
        var text = new Option<string?>("--text") { Description = "in your words" };
        var at = new Option<string?>("--at") { Description = "when: 19:30 (today), 2026-03-14T19:30 (this place's time), with Z or an offset another's; now if not said", HelpName = "TIME" };
        var by = new Option<string?>("--by") { Description = "who writes; the user's name if not said", HelpName = "NAME" };
        var command = new Command(name, what) { station };
        foreach (var argument in arguments) command.Arguments.Add(argument);
        foreach (var option in (Option[])[.. options, text, at, by]) command.Options.Add(option);
        command.SetAction((parse, _) => PenAndPaper.WithWordsAsync(async () =>
        {
            var (time, wrong) = parse.GetValue(at) is { } told ? KeptTime.Read("--at", told, TimeZoneInfo.Local, PenAndPaper.Clock(parse.GetValue(station)).GetUtcNow()) : (null, null);
            var (note, problem) = make(parse, new Note { Kind = NoteKind.Other, At = time, Text = parse.GetValue(text) ?? "", By = parse.GetValue(by) ?? WhoAsks.Name });
            return (wrong ?? problem) is { } bad ? Exit.Wrong(bad) : await PenAndPaper.WriteAsync(parse.GetValue(station), note!);
        }));
        return command;
    }
}
