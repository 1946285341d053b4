using Evenwater.Core.Keeping;

namespace Evenwater.Core.Standing;

/// <summary>What was dosed of one thing, and what may be left of it.</summary>
/// <param name="Of">What it is called in the notes.</param>
/// <param name="Unit">Of the amounts.</param>
/// <param name="Count">How many doses.</param>
/// <param name="Amount">All together, in the unit.</param>
/// <param name="Last">When the last was given.</param>
/// <param name="LeftPerLitre">The most that can be left of them, in the unit per litre of the tank.</param>
/// <param name="Swing">Where it leads, in the unit per litre, if doses and water changes go on as they did; null when either came less than three times, or has stopped.</param>
public sealed record Dosed(string Of, string Unit, int Count, double Amount, DateTimeOffset Last, double LeftPerLitre, (double AfterChange, double BeforeChange)? Swing);

/// <summary>The dosing budget by the book: amounts, and the mixing model against water changes.</summary>
public static class Doses
{
    /// <summary>Fewer of either have no rhythm.</summary>
    private const int Rhythm = 3;

    /// <summary>What is so many times as long ago as one was from the next has stopped. Common practice, no source.</summary>
    private const double Stopped = 2;

    /// <summary>Everything that was dosed with an amount, by name and unit.</summary>
    /// <param name="book">The station's book.</param>
    /// <param name="tankLitres">Water in the tank, L, more than 0.</param>
    /// <param name="to">Until when.</param>
    public static IReadOnlyList<Dosed> Of(Book book, double tankLitres, DateTimeOffset to)
    {
        ArgumentNullException.ThrowIfNull(book);
        if (!(tankLitres > 0)) throw new ArgumentOutOfRangeException(nameof(tankLitres), tankLitres, "Allowed: more than 0 L.");
        Note[] notes = [.. book.Standing.Where(note => note.At <= to)];
        Note[] changes = [.. notes.Where(note => note is { Kind: NoteKind.WaterChange, Litres: not null })];
        return
        [
            .. notes.Where(note => note is { Kind: NoteKind.Dose, Amount: not null, Unit: not null })
                .GroupBy(note => (Of: note.Text.Trim().ToUpperInvariant(), note.Unit))
                .Select(doses => Of([.. doses], changes, tankLitres, to)),
        ];
    }

    private static Dosed Of(Note[] doses, Note[] changes, double tankLitres, DateTimeOffset to)
    {
        // Of one and the same minute the change comes first: what is told is the most that can be left.
        var steps = changes.Select(change => new DoseStep(change.At!.Value, 0, Share(change, tankLitres)))
            .Concat(doses.Select(dose => new DoseStep(dose.At!.Value, dose.Amount!.Value / tankLitres, 0)));
        var left = DoseBalance.Course(steps)[^1].PerLitre;
        (double, double)? swing = Every(doses, to) is { } dosed && Every(changes, to) is { } changed
            ? DoseBalance.Swing(doses.Average(dose => dose.Amount!.Value) / tankLitres, dosed, changes.Average(change => Share(change, tankLitres)), changed)
            : null;
        return new Dosed(doses[^1].Text.Trim(), doses[^1].Unit!, doses.Length, doses.Sum(dose => dose.Amount!.Value), doses[^1].At!.Value, left, swing);
    }

    /// <summary>More than the tank holds can only have flowed through, and so more of what was there is left: e^(-litres / tank's), as of any vessel that is stirred.</summary>
    private static double Share(Note change, double tankLitres) => change.Litres!.Value / tankLitres is var share and <= 1 ? share : 1 - Math.Exp(-change.Litres.Value / tankLitres);

    /// <summary>Days from one to the next; null without a rhythm that still goes on.</summary>
    private static double? Every(Note[] notes, DateTimeOffset to) => notes.Length < Rhythm ? null
        : (notes[^1].At!.Value - notes[0].At!.Value).TotalDays / (notes.Length - 1) is > 0 and var days && (to - notes[^1].At!.Value).TotalDays <= Stopped * days ? days : null;
}
