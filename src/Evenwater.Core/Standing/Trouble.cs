using Evenwater.Core.Keeping;

namespace Evenwater.Core.Standing;

/// <summary>What a note about trouble says.</summary>
public enum TroubleStep
{
    /// <summary>Something is wrong.</summary>
    Opened,

    /// <summary>Something was done about it.</summary>
    Tried,

    /// <summary>It is over.</summary>
    Closed,
}

/// <summary>One note's part in a trouble. What happened stands in the note's own text.</summary>
/// <param name="Step">Opened, tried or closed.</param>
/// <param name="Name">What it is called, of opened alone: by this name it is found again, such as "green water"; 1 to 60 characters.</param>
/// <param name="Of">The note that opened it, of tried and closed alone.</param>
public sealed record TroublePart(TroubleStep Step, string? Name = null, string? Of = null)
{
    /// <summary>Longest name, characters. Our own choice: one line beside its date.</summary>
    public const int LongestName = 60;
}

/// <summary>One trouble from its opening on.</summary>
/// <param name="Opened">The note that opened it.</param>
/// <param name="Tried">What was done, in order.</param>
/// <param name="Closed">The note that closed it; null while it is open.</param>
public sealed record Trouble(Note Opened, IReadOnlyList<Note> Tried, Note? Closed)
{
    /// <summary>What it is called.</summary>
    public string Name => Opened.Trouble?.Name ?? "";

    /// <summary>Whether it is still open.</summary>
    public bool IsOpen => Closed is null;

    /// <summary>How long it lasted; null while it is open or a date is missing.</summary>
    public TimeSpan? Lasted => Closed?.At - Opened.At;
}

/// <summary>The troubles of a book.</summary>
public static class Troubles
{
    /// <summary>All, by when they were opened. Those that were taken back are none, and so are steps of one that was.</summary>
    public static IReadOnlyList<Trouble> Of(Book book)
    {
        ArgumentNullException.ThrowIfNull(book);
        Note[] notes = [.. book.Standing.Where(note => note.Trouble is not null)];
        return
        [
            .. notes.Where(note => note.Trouble!.Step == TroubleStep.Opened).Select(opened =>
            {
                // A step may name any note of the opening's history.
                Note[] steps = [.. notes.Where(note => note.Trouble!.Of is { } of && book.Find(of)?.Now == opened)];
                return new Trouble(opened, [.. steps.Where(note => note.Trouble!.Step == TroubleStep.Tried)], steps.LastOrDefault(note => note.Trouble!.Step == TroubleStep.Closed));
            }),
        ];
    }

    /// <summary>The last one of the same name before it, letter case aside: what helped then; null when it is the first.</summary>
    public static Trouble? Before(IReadOnlyList<Trouble> all, Trouble trouble)
    {
        ArgumentNullException.ThrowIfNull(all);
        ArgumentNullException.ThrowIfNull(trouble);
        return all.TakeWhile(other => other != trouble).LastOrDefault(other => string.Equals(other.Name.Trim(), trouble.Name.Trim(), StringComparison.OrdinalIgnoreCase));
    }
}
