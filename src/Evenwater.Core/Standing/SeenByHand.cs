using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Standing;

/// <summary>What may stand in the parts of a note that a tank's record is made of: a test, a look, a step of a trouble.</summary>
internal static class SeenByHand
{
    /// <summary>Whether a note carries one of them.</summary>
    public static bool In(Note note) => note.Test is not null || note.Observation is not null || note.Trouble is not null;

    /// <summary>Finds what is wrong with them. A note of these kinds may also be text alone.</summary>
    public static void Check(Findings findings, Note note, Book book)
    {
        With(findings, note, note.Test is not null, NoteKind.Test, "test");
        With(findings, note, note.Observation is not null, NoteKind.Observation, "observation");
        With(findings, note, note.Trouble is not null, NoteKind.Trouble, "trouble");
        foreach (var wrong in note.Test is { } test ? Substances.Check(test) : []) findings.Take("test", wrong);
        foreach (var wrong in note.Observation is { } look ? Sights.Check(look) : []) findings.Take("observation", wrong);
        if (note is { Trouble: { } part, Withdrawn: false }) Trouble(findings, note, part, book);
    }

    private static void With(Findings findings, Note note, bool given, NoteKind kind, string key) =>
        findings.Require(!given || note.Kind == kind, key, "given", $"with a note of kind {NoteKinds.Name(kind)} alone", "Leave it out, or choose the kind.");

    private static void Trouble(Findings findings, Note note, TroublePart part, Book book)
    {
        var opens = part.Step == TroubleStep.Opened;
        findings.Require(
            opens ? part.Name?.Trim().Length is > 0 and <= TroublePart.LongestName && NoteRules.IsOfALine(part.Name) : part.Name is null, "trouble.name", part.Name,
            opens ? $"1 to {TroublePart.LongestName} plain characters" : "none with a step of a trouble that is open", "Name what is wrong as you would name it the next time.");
        if (opens)
        {
            findings.Require(part.Of is null, "trouble.of", part.Of, "none when it is opened", "Leave it out.");
            return;
        }

        var of = part.Of is { } id ? book.Find(id)?.Now : null;
        var trouble = of is null ? null : Troubles.Of(book).FirstOrDefault(known => known.Opened == of);
        findings.Require(trouble is not null, "trouble.of", part.Of, "the note that opened a trouble", "'evenwater tank' shows the open ones.");
        findings.Require(trouble?.Closed is not { } closed || closed.Id == note.Corrects || part.Step == TroubleStep.Tried, "trouble.of", part.Of, "a trouble that is open", "It is closed already; open another.");
        findings.Require(
            part.Step != TroubleStep.Closed || !(note.At < trouble?.Opened.At), "at", $"{note.At:yyyy-MM-dd HH:mm:ss zzz}", $"not before it was opened, {trouble?.Opened.At:yyyy-MM-dd HH:mm:ss zzz}",
            "Say when it was closed, or correct when it was opened.");
    }
}
