using Evenwater.Core.Calibration;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Keeping;

/// <summary>What may stand in a note.</summary>
public static class NoteRules
{
    /// <summary>Longest text, characters. Our own choice: a message over MQTT is at most 4096 bytes.</summary>
    public const int LongestText = 1000;

    /// <summary>Longest name of a person, characters.</summary>
    public const int LongestBy = 64;

    /// <summary>Most litres. Our own choice: far above the tanks that this is for.</summary>
    public const double MostLitres = 20_000;

    /// <summary>Largest amount. Our own choice.</summary>
    public const double MostAmount = 1_000_000;

    /// <summary>How far another clock may be ahead of this one. Our own choice.</summary>
    private static readonly TimeSpan Ahead = TimeSpan.FromMinutes(10);

    private static readonly DateTimeOffset Earliest = new(2000, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>What is wrong with a note that is to be written; nothing when it may be.</summary>
    /// <param name="note">The note.</param>
    /// <param name="book">The station's book, in which the note it corrects must stand.</param>
    /// <param name="now">What the clock says; null while it has never been set.</param>
    /// <param name="isKept">Whether a photograph of that name is kept; null where that can not be told.</param>
    public static IReadOnlyList<Problem> Problems(Note note, Book book, DateTimeOffset? now, Func<string, bool>? isKept = null)
    {
        var findings = new Findings();
        var kinds = string.Join(", ", NoteKinds.All.Select(NoteKinds.Name));
        findings.Require(NoteKinds.All.Contains(note.Kind), "kind", NoteKinds.Name(note.Kind), kinds, "Choose one; 'other' takes anything.");
        Words(findings, note);
        Amounts(findings, note);
        if (note.At is { } at)
        {
            findings.Require(at >= Earliest, "at", Text(at), $"{Text(Earliest)} or later", "Say when it happened.");
            findings.Require(now is null || at <= now + Ahead, "at", Text(at), $"not after now, {(now is { } clock ? Text(clock) : "")}", "Note what has happened; plans have no place in the book.");
        }

        Corrected(findings, note, book);
        Payloads(findings, note, book);
        SeenByHand.Check(findings, note, book);
        Photographs(findings, note, book, isKept);
        return findings.Problems;
    }

    /// <summary>Whether text can be shown as it is: no control characters but line ends and tabs.</summary>
    public static bool IsShowable(string text) => !text.Any(c => char.IsControl(c) && c is not ('\n' or '\t'));

    /// <summary>Whether a name can stand in a line of others: no control characters, and nothing that turns the direction of what follows it (Unicode, UAX #9, explicit formatting). Letters that are written from the right may.</summary>
    public static bool IsOfALine(string name) => !name.Any(c => char.IsControl(c) || Turns(c));

    /// <summary>Whether a character turns the direction of all that follows.</summary>
    public static bool Turns(char c) => c is (>= '\u202A' and <= '\u202E') or (>= '\u2066' and <= '\u2069');

    private static void Words(Findings findings, Note note)
    {
        findings.Require(note.Text.Length <= LongestText, "text", $"{note.Text.Length} characters", $"up to {LongestText} characters", "Say it shorter, or in two notes.");
        findings.Require(IsShowable(note.Text), "text", "with control characters", "plain text", "Write it without them.");
        findings.Require(
            note.Withdrawn || note.Text.Trim().Length > 0 || note.Litres is not null || note.Amount is not null || HasPayload(note),
            "text", "", $"1 to {LongestText} characters, or an amount", "Say what was done.");
        findings.Require(note.By.Trim().Length is > 0 and <= LongestBy && IsOfALine(note.By), "by", note.By.Length > LongestBy ? $"{note.By.Length} characters" : Plain(note.By), $"1 to {LongestBy} plain characters", "Say who writes.");
    }

    private static void Amounts(Findings findings, Note note)
    {
        var (name, units) = (NoteKinds.Name(note.Kind), NoteKinds.Units(note.Kind));
        findings.Require(note.Litres is not { } litres || litres is > 0 and <= MostLitres, "litres", note.Litres, $"above 0, to {MostLitres:0} L", "Say how much water it was, or leave it out.");
        findings.Require(note.Litres is null || NoteKinds.HasLitres(note.Kind), "litres", note.Litres, $"none with {name}; litres go with water-change and top-off", "Leave it out, or choose the kind.");
        findings.Require(note.Amount is not { } amount || amount is > 0 and <= MostAmount, "amount", note.Amount, $"above 0, to {MostAmount:0}", "Say how much it was, or leave it out.");
        findings.Require(note.Amount is null == note.Unit is null, "unit", note.Unit, "a unit with an amount, and an amount with a unit", "Say both, such as 5 mL.");
        if (note.Unit is not null)
        {
            findings.Require(units.Contains(note.Unit), "unit", Plain(note.Unit), units.Count > 0 ? $"{string.Join(", ", units)} with {name}" : $"no amount with {name}", units.Count > 0 ? "Choose one of them." : "Say it in the text.");
        }
    }

    private static void Corrected(Findings findings, Note note, Book book)
    {
        findings.Require(!note.Withdrawn || note.Corrects is not null, "withdrawn", "true", "with the note that is taken back", "Name the note by 'corrects'.");
        if (note.Corrects is not { } former)
        {
            return;
        }

        var matter = book.Find(former);
        findings.Require(matter is not null, "corrects", Plain(former), "a note of this station's book", "'evenwater journal --all' lists them.");
        if (matter is null)
        {
            return;
        }

        findings.Require(matter.Now.Id == former, "corrects", former, $"{matter.Now.Id}, which has taken its place", $"Correct {matter.Now.Id}.");
        var matched = note.Withdrawn && matter.Now.Calibration is { } undone ? CalibrationsInForce.MatchedTo(undone, book.Written.Select(other => other.Calibration).OfType<CalibrationRecord>()) : null;
        findings.Require(matched is null, "withdrawn", former, $"a calibration that no later one was matched to; in one cup on {matched?.At:yyyy-MM-dd} the tank's probes were set to read as the vessel's did by this", "Take 'both' back first, then this, and match them anew.");
        findings.Require(!note.Withdrawn || !matter.Withdrawn, "withdrawn", former, "a note that stands", "It is taken back already; correct it to put it back.");
        findings.Require(note.Kind == matter.Now.Kind || (NoteKinds.OwnCommand(note.Kind) ?? NoteKinds.OwnCommand(matter.Now.Kind)) is null, "kind", NoteKinds.Name(note.Kind), NoteKinds.Name(matter.Now.Kind), "Take the other back, and write a new one.");
    }

    /// <summary>What is more than text stands where it belongs, and is in order.</summary>
    private static void Payloads(Findings findings, Note note, Book book)
    {
        ReadOnlySpan<(NoteKind Kind, bool Given)> all =
        [
            (NoteKind.Calibration, note.Calibration is not null), (NoteKind.Arrival, note.Arrival is not null), (NoteKind.Outcome, note.Outcome is not null),
        ];
        foreach (var (kind, given) in all)
        {
            var name = NoteKinds.Name(kind);
            findings.Require(given == (note.Kind == kind) || (note.Withdrawn && !given), name, given ? "given" : "not given", $"with a note of kind {name}, and only there", $"'evenwater {NoteKinds.OwnCommand(kind)}' writes it.");
        }

        findings.Take("calibration", note.Calibration?.Checked().Refusal);
        foreach (var problem in (note.Arrival?.Problems() ?? []).Concat(note.Outcome?.Problems(book) ?? []))
        {
            findings.Take(null, problem);
        }

        if (note.Outcome is { Arrival: { } of } found && Arrivals.Find(book, of) is { } theirs)
        {
            var matter = note.Corrects is { } own ? book.Find(own) : null;
            var released = theirs.Outcomes.Where(seen => seen.Outcome!.Look == Look.Release).ToList();
            findings.Require(found.Look != Look.Release || released.Count == 0 || released.Any(seen => book.Find(seen.Id) == matter), "look", "release", $"once for {of}: {released.LastOrDefault()?.Id} tells it", $"Correct {released.LastOrDefault()?.Id}, or say that it is the look after a day or a week.");
            findings.Require(found.Look == Look.Release || released.Count > 0, "look", found.Look == Look.Day ? "24h" : "7d", $"after the release, and {of} has none in the book", "Note the release first, with its time; or say which arrival it is.");
        }

        if (note is { Arrival.Count: var came, Corrects: { } former } && Arrivals.Find(book, former)?.Outcomes.MaxBy(look => look.Outcome!.Counted) is { Outcome: { Counted: var counted } } most)
        {
            findings.Require(came >= counted, "count", came, $"at least the {counted} that were counted, {most.Id}", $"Count again, or correct {most.Id} first.");
        }
    }

    /// <summary>A photograph is kept before it is named; a correction may go on naming one whose file has been deleted since.</summary>
    private static void Photographs(Findings findings, Note note, Book book, Func<string, bool>? isKept)
    {
        if (note.Photographs is not { } names) return;
        findings.Require(names.Count <= PhotographNames.Most, "photographs", names.Count, $"up to {PhotographNames.Most}", "Put the others to a note of their own.");
        findings.Require(names.Count == 0 || !note.Withdrawn, "photographs", "given", "none with a note that only takes another back", "Leave them out.");
        var before = note.Corrects is { } former ? book.Find(former)?.Notes.SelectMany(said => said.Photographs ?? []).ToHashSet() : null;
        foreach (var name in names)
        {
            var known = PhotographNames.Is(name) && (isKept is null || isKept(name) || before?.Contains(name) == true);
            findings.Require(known && names.Count(other => other == name) == 1, "photographs", Plain(name), "names of photographs that are kept here, each once", "Attach the picture itself, on the journal page or by 'evenwater journal --photo FILE'.");
        }
    }

    private static bool HasPayload(Note note) => note.Photographs is { Count: > 0 } || note.Calibration is not null || note.Arrival is not null || note.Outcome is not null || SeenByHand.In(note);

    private static string Text(DateTimeOffset time) => $"{time:yyyy-MM-dd HH:mm:ss zzz}";

    private static string Plain(string text) => string.Concat(text.Take(LongestBy).Where(c => !char.IsControl(c) && !Turns(c)));
}
