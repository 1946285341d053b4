using System.CommandLine;
using System.Globalization;
using Evenwater.Core.Keeping;
using Evenwater.Keeping;
using Evenwater.Photographs;

namespace Evenwater.Commands;

/// <summary>evenwater journal: the keeper's book of a station, read and written.</summary>
internal static class JournalCommand
{
    public static Command Create()
    {
        var station = AskCommands.Station();
        var kinds = string.Join(", ", NoteKinds.All.Where(kind => NoteKinds.OwnCommand(kind) is null).Select(NoteKinds.Name));
        var add = new Option<string[]>("--add") { Description = $"write a note: its kind, and what was done in quotes. Kinds: {kinds}", Arity = new(1, 2), AllowMultipleArgumentsPerToken = true, HelpName = "KIND TEXT" };
        var correct = new Option<string?>("--correct") { Description = "write a note in place of this one; what is not said again is taken over from it", HelpName = "ID" };
        var withdraw = new Option<string?>("--withdraw") { Description = "take a note back; both stay in the book", HelpName = "ID" };
        var kind = new Option<string?>("--kind") { Description = "list this kind alone; with --correct: another kind" };
        var text = new Option<string?>("--text") { Description = "with --correct: another text; with --withdraw: why" };
        var at = new Option<string?>("--at") { Description = "when it happened: 19:30 (today), 2026-03-14T19:30 (this place's time), with Z or an offset another's; now if not said", HelpName = "TIME" };
        var litres = new Option<double?>("--litres") { Description = "how much water, L; with water-change and top-off" };
        var amount = new Option<string?>("--amount") { Description = "how much, with its unit, such as 5mL, 2portions, 6animals", HelpName = "NUMBERUNIT" };
        var by = new Option<string?>("--by") { Description = "who writes; the user's name if not said", HelpName = "NAME" };
        var all = new Option<bool>("--all") { Description = "list also what was taken back, and what each note said before" };
        var from = new Option<string?>("--from") { Description = "list from this time on", HelpName = "TIME" };
        var to = new Option<string?>("--to") { Description = "list what was before this time", HelpName = "TIME" };
        var log = new Option<string?>("--log") { Description = "list from the log in this folder; the daemon's if not said", HelpName = "FOLDER" };
        var photo = new Option<string[]>("--photo") { Description = "with --add or --correct: a photograph to go with it, JPEG, PNG or WebP; it is drawn anew, without place, camera or time", HelpName = "FILE", AllowMultipleArgumentsPerToken = false };
        var without = new Option<bool>("--without-photos") { Description = "with --correct: take no photograph over" };
        var delete = new Option<string?>("--delete-photo") { Description = "delete a photograph's file for good; the notes stay as they are. --all lists the names", HelpName = "NAME" };
        var command = new Command("journal", "The keeper's book: what was done, when, by whom. Nothing in it is ever overwritten.")
        {
            station, add, correct, withdraw, kind, text, at, litres, amount, by, all, from, to, log, photo, without, delete,
        };
        command.SetAction((parse, _) => PenAndPaper.WithWordsAsync(() => RunAsync(new JournalAsk(
            parse.GetValue(station), parse.GetValue(add) ?? [], parse.GetValue(correct), parse.GetValue(withdraw), parse.GetValue(kind), parse.GetValue(text), parse.GetValue(at),
            parse.GetValue(litres), parse.GetValue(amount), parse.GetValue(by) ?? WhoAsks.Name, parse.GetValue(all), parse.GetValue(from), parse.GetValue(to), parse.GetValue(log))
            {
                Photos = parse.GetValue(photo) ?? [], WithoutPhotos = parse.GetValue(without), DeletePhoto = parse.GetValue(delete),
            })));
        return command;
    }

    private static async Task<int> RunAsync(JournalAsk ask)
    {
        if (ask.Problem is { } problem)
        {
            return Exit.Wrong(problem);
        }

        if (ask.DeletePhoto is { } name)
        {
            return AttachedFiles.Delete(name);
        }

        if (!ask.Writes)
        {
            return List(ask);
        }

        var former = ask.Correct ?? ask.Withdraw;
        var stands = former is null ? null : PenAndPaper.Book(ask.Station).Book?.Find(former)?.Said;
        var (note, wrong) = ask.Note(stands, ask.At is null ? TimeProvider.System : PenAndPaper.Clock(ask.Station));
        return note is null ? Exit.Wrong(wrong!)
            : ask.Photos.Length == 0 ? await PenAndPaper.WriteAsync(ask.Station, note)
            : await AttachedFiles.WriteAsync(ask.Station, note, stands, ask.Photos);
    }

    private static int List(JournalAsk ask)
    {
        var (book, name, problem) = PenAndPaper.Book(ask.Station, ask.Log);
        if (book is null)
        {
            return Exit.Wrong(problem!);
        }

        var zone = TimeZoneInfo.Local;
        var now = (ask.From ?? ask.To) is null ? default : PenAndPaper.Clock(ask.Station, ask.Log).GetUtcNow();
        var (from, wrongFrom) = ask.From is { } f ? KeptTime.Read("--from", f, zone, now) : (null, null);
        var (to, wrongTo) = ask.To is { } t ? KeptTime.Read("--to", t, zone, now) : (null, null);
        if ((wrongFrom ?? wrongTo) is { } wrong)
        {
            return Exit.Wrong(wrong);
        }

        var lines = BookText.Of(book, zone, NoteKinds.Named(ask.Kind), (from, to), ask.All, KeptLog.Find(ask.Log) is { } kept ? new PhotographFolder(kept.Folder).Has : null).ToList();
        foreach (var line in lines)
        {
            Console.WriteLine(line);
        }

        return lines.Count > 0 ? Exit.Fine : Exit.Tell(true, $"Nothing stands in the book of {name}{((ask.Kind ?? ask.From ?? ask.To) is null ? "" : " of that kind and time")}.");
    }
}

/// <summary>What was asked of the book.</summary>
internal sealed record JournalAsk(
    string? Station, string[] Add, string? Correct, string? Withdraw, string? Kind, string? Text, string? At, double? Litres, string? Amount, string By,
    bool All, string? From, string? To, string? Log)
{
    public string[] Photos { get; init; } = [];

    public bool WithoutPhotos { get; init; }

    public string? DeletePhoto { get; init; }

    public bool Writes => Add.Length > 0 || Correct is not null || Withdraw is not null;

    /// <summary>What does not go together, or is none of the allowed; null when all is fine.</summary>
    public string? Problem => true switch
    {
        _ when new[] { Add.Length > 0, Correct is not null, Withdraw is not null }.Count(said => said) > 1 => "--add, --correct, --withdraw: say one of them.",
        _ when Writes && (All || From is not null || To is not null || Log is not null) => "--all, --from, --to and --log are for listing: leave them out when you write. The daemon's log is written, or $STATE_DIRECTORY's.",
        _ when DeletePhoto is not null && (Writes || Photos.Length > 0 || WithoutPhotos) => "--delete-photo: say it alone.",
        _ when Photos.Length > 0 && (!Writes || Withdraw is not null) => "--photo: goes with --add or --correct: say which.",
        _ when WithoutPhotos && Correct is null => "--without-photos: goes with --correct: say which note.",
        _ when !Writes && (Text ?? At ?? Amount) is not null || (!Writes && Litres is not null) => "--text, --at, --litres and --amount go with --add or --correct: say which.",
        _ when Add is [var kind, ..] && NoteKinds.Named(kind) == NoteKind.None => WrongKind("--add", kind),
        _ when Add is [var kind, ..] && NoteKinds.OwnCommand(NoteKinds.Named(kind)) is { } own => $"--add = {kind}: it holds more than text. 'evenwater {own}' writes it.",
        _ when Kind is not null && NoteKinds.Named(Kind) == NoteKind.None => WrongKind("--kind", Kind),
        _ when Add.Length > 0 && Kind is not null => "--kind: with --add the kind stands behind it. Leave --kind out.",
        _ when Add.Length == 2 && Text is not null => "--text: with --add the text stands behind the kind. Say it once.",
        // Said here: a daemon takes no line that is much longer, and says only that.
        _ when (Add.Length == 2 ? Add[1] : Text) is { Length: > NoteRules.LongestText } text => $"Not written: text: {text.Length} characters. Allowed: up to {NoteRules.LongestText} characters. Say it shorter, or in two notes.",
        _ when Withdraw is not null && (Litres is not null || (Amount ?? At ?? Kind) is not null) => "--withdraw: takes a note back as it is; only --text (why) and --by go with it. To change it: --correct.",
        _ => null,
    };

    /// <summary>The note to write, or what is wrong.</summary>
    /// <param name="former">The note that stands, when one is corrected or taken back.</param>
    /// <param name="time">The clock.</param>
    public (Note? Note, string? Problem) Note(Note? former, TimeProvider time)
    {
        var id = Correct ?? Withdraw;
        if (id is not null && former is null)
        {
            return (null, $"{(Correct is null ? "--withdraw" : "--correct")} = {id}: there is no such note. 'evenwater journal --all' lists them.");
        }

        var (at, wrongAt) = At is { } told ? KeptTime.Read("--at", told, time.LocalTimeZone, time.GetUtcNow()) : (former?.At, null);
        var (amount, unit, wrongAmount) = Amount is { } much ? ReadAmount(much) : (former?.Amount, former?.Unit, null);
        if ((wrongAt ?? wrongAmount) is { } wrong)
        {
            return (null, wrong);
        }

        if (Withdraw is not null)
        {
            return (new Note { Kind = former!.Kind, Corrects = id, Withdrawn = true, Text = Text ?? "", By = By }, null);
        }

        var kind = Add is [var name, ..] ? NoteKinds.Named(name) : Kind is not null ? NoteKinds.Named(Kind) : former!.Kind;
        var fresh = (former ?? new Note { Kind = kind }) with
        {
            Id = "", Kind = kind, WrittenAt = null, Corrects = id, At = at, By = By, Amount = amount, Unit = unit,
            Text = Text ?? (Add.Length == 2 ? Add[1] : former?.Text ?? ""),
            Litres = Litres ?? former?.Litres,
            Photographs = WithoutPhotos ? [] : former?.Photographs,
        };
        return (fresh, null);
    }

    /// <summary>What may be listed is more than what may be added.</summary>
    private static string WrongKind(string option, string value) =>
        $"{option} = {value}: no kind of note. Allowed: {string.Join(", ", NoteKinds.All.Where(kind => option == "--kind" || NoteKinds.OwnCommand(kind) is null).Select(NoteKinds.Name))}. 'other' takes anything.";

    private static (double? Amount, string? Unit, string? Problem) ReadAmount(string text)
    {
        var digits = text.TakeWhile(c => char.IsAsciiDigit(c) || c is '.' or '-').Count();
        return double.TryParse(text.AsSpan(0, digits), NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var amount) && text[digits..].Trim() is [var first, ..] unit && (char.IsAsciiLetter(first) || first == '%')
            ? (amount, unit, null)
            : (null, null, $"--amount = {text}: allowed is a number with its unit, such as 5mL. Write both.");
    }
}
