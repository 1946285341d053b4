namespace Evenwater.Core.Keeping;

/// <summary>One arrival as the book has it: the animals, and how they were found at each look.</summary>
/// <param name="Note">The note that stands.</param>
/// <param name="Animals">What came.</param>
/// <param name="Outcomes">The looks that were noted, in order of time.</param>
public sealed record Came(Note Note, ArrivalRecord Animals, IReadOnlyList<Note> Outcomes)
{
    /// <summary>Whether they are still to be let in.</summary>
    public bool IsOpen => Of(Look.Release) is null;

    private Look[] Asked => Outcomes is [.., { Outcome: { } last }] && (last.Alive == 0 || last.Dead >= Animals.Count) ? [] : [Look.Day, Look.Week];

    /// <summary>The last note of one look, or null.</summary>
    public Note? Of(Look look) => Outcomes.LastOrDefault(note => note.Outcome!.Look == look);

    /// <summary>The looks that are due and not noted, with when they fell due. A day and a week after the release; after a month nobody is asked any more (our own choice), nor of animals of which none lives.</summary>
    public IEnumerable<(Look Look, DateTimeOffset At)> Due(DateTimeOffset now) =>
        from look in Asked
        let at = Of(Look.Release)?.At?.AddDays(look == Look.Day ? 1 : 7)
        where at <= now && now < at.Value.AddDays(Arrivals.AskedDays) && Of(look) is null && !(look == Look.Day && Of(Look.Week) is not null)
        select (look, at.Value);

    /// <summary>The looks that are still to come, with when.</summary>
    public IEnumerable<(Look Look, DateTimeOffset At)> ToCome(DateTimeOffset now) =>
        from look in Asked
        let at = Of(Look.Release)?.At?.AddDays(look == Look.Day ? 1 : 7)
        where at > now && Of(look) is null
        select (look, at.Value);
}

/// <summary>The arrivals of a book.</summary>
public static class Arrivals
{
    /// <summary>How long a look is asked for, days.</summary>
    public const double AskedDays = 30;

    /// <summary>Every arrival that stands, oldest first.</summary>
    public static IReadOnlyList<Came> Of(Book book)
    {
        var outcomes = book.Standing.Where(note => note.Outcome is not null).ToLookup(note => note.Outcome!.Arrival is { } id ? book.Find(id) : null);
        return [.. book.Standing.Where(note => note.Arrival is not null).Select(note => new Came(note, note.Arrival!, [.. outcomes[book.Find(note.Id)]]))];
    }

    /// <summary>The latest arrival whose animals are still to be let in, or null.</summary>
    public static Came? LatestOpen(Book book) => Of(book).LastOrDefault(came => came.IsOpen);

    /// <summary>The arrival that a note is part of, or null.</summary>
    public static Came? Find(Book book, string id) => Of(book).FirstOrDefault(came => book.Find(came.Note.Id) == book.Find(id));

    /// <summary>
    /// The arrival of a run: the one that the run itself names; else, of those that were noted before its end and are not older than two days at its beginning, the latest that
    /// no outcome ties to another run. Null when there is none.
    /// </summary>
    /// <param name="book">The station's book.</param>
    /// <param name="named">What the run names.</param>
    /// <param name="run">The run's number.</param>
    /// <param name="began">When it began.</param>
    /// <param name="ended">When it ended, or now.</param>
    public static Came? OfRun(Book book, string? named, long run, DateTimeOffset began, DateTimeOffset ended) =>
        named is not null && Find(book, named) is { } told ? told
        : Of(book).LastOrDefault(came =>
            came.Note.At <= ended && came.Note.At >= began.AddDays(-2)
            && came.Outcomes.All(note => note.Outcome!.Run is null || note.Outcome.Run == run));
}
