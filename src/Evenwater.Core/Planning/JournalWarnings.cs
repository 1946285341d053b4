using System.Text.RegularExpressions;
using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>
/// What the keeper's own book says against putting animals into this tank now: remedies and copper, which invertebrates bear worse than fish; ammonia or nitrite
/// in the tank; carbon dioxide that is blown in. Each quotes its note, for the keeper to judge: words are all that is looked for.
/// </summary>
public static partial class JournalWarnings
{
    /// <summary>A remedy is recent for so many days. Common practice, no source.</summary>
    public const double RemedyDays = 28;

    /// <summary>Copper: it settles in sand and rock, and comes back. Common practice, no source.</summary>
    public const double CopperDays = 180;

    /// <summary>Carbon dioxide is taken to be blown in still, when it was noted within so many days. Common practice, no source.</summary>
    public const double CarbonDioxideDays = 90;

    /// <summary>A test tells of the tank as it is for so many days. Common practice, no source.</summary>
    public const double TestDays = 14;

    /// <summary>What to tell, the worst first; a note without a date counts as one of today.</summary>
    /// <param name="standing">The notes that stand.</param>
    /// <param name="now">When the run begins.</param>
    /// <param name="group">Which animals come; null when nobody told.</param>
    public static IReadOnlyList<Remark<Caution>> Of(IEnumerable<Note> standing, DateTimeOffset now, AnimalGroup? group)
    {
        ArgumentNullException.ThrowIfNull(standing);
        List<Remark<Caution>> found = [];
        var notes = standing.Where(note => Days(note.At, now) >= 0).OrderByDescending(note => note.At ?? now).ToList();
        foreach (var latest in notes.Where(note => note.Test is { Of: Substance.TotalAmmonia or Substance.Nitrite } && Days(note.At, now) <= TestDays).DistinctBy(note => note.Test!.Of))
        {
            var name = latest.Test!.Of == Substance.Nitrite ? "nitrite" : "ammonia";
            if (latest.Test is { Below: false, Value: > 0 })
                found.Add(new(Caution.Journal, $"The tank's {name} was {latest.Test.Value:0.0##} mg/L {Ago(latest.At, now)} ({latest.Id}): it should be 0 before animals go in."));
        }

        if (group is { } named && !IsInvertebrate(named)) return found;
        Tell(note => Copper().IsMatch(note.Text), CopperDays, "Snails, shrimps and their like die of traces of copper, which settles and comes back: test for it first.");
        Tell(note => note.Kind == NoteKind.Medication && !Copper().IsMatch(note.Text), RemedyDays, "Snails, shrimps and their like bear many remedies worse than fish do: read what it says of them, and wait or filter it out.");
        Tell(note => note.Kind != NoteKind.Arrival && CarbonDioxide().IsMatch(note.Text), CarbonDioxideDays, "Snails, shrimps and their like suffer first where carbon dioxide is blown in: its pH swings by day and night, so drip and release while it is off.");
        return found;

        void Tell(Func<Note, bool> isIt, double withinDays, string consequence)
        {
            if (notes.FirstOrDefault(note => Days(note.At, now) <= withinDays && isIt(note)) is { } note)
                found.Add(new(Caution.Journal, $"{Said(note, now)}. {consequence}"));
        }
    }

    /// <summary>Whether a group has no backbone; organisms of toxicity tests may.</summary>
    internal static bool IsInvertebrate(AnimalGroup group) => group is AnimalGroup.MarineInvertebrates or AnimalGroup.WhitelegShrimpPostlarvae or AnimalGroup.FleshyPrawn
        or AnimalGroup.FreshwaterShrimp or AnimalGroup.FreshwaterPrawn or AnimalGroup.TestOrganisms;

    private static string Said(Note note, DateTimeOffset now)
    {
        const int most = 60;
        var words = note.Text.ReplaceLineEndings(" ").Trim();
        var text = words.Length == 0 ? $"{note.Amount:0.##} {note.Unit}".Trim() : words.Length <= most ? words : $"{words[..most]}...";
        return $"The journal has \"{text}\" ({NoteKinds.Name(note.Kind)}, {note.Id}, {Ago(note.At, now)})";
    }

    private static double Days(DateTimeOffset? at, DateTimeOffset now) => at is { } when ? (now - when).TotalDays : 0;

    private static string Ago(DateTimeOffset? at, DateTimeOffset now) => (at, Math.Floor(Days(at, now))) switch
    {
        (null, _) => "without a date",
        (_, < 1) => "within a day",
        (_, 1) => "a day ago",
        (_, var days) => $"{days:0} days ago",
    };

    [GeneratedRegex(@"\b(copper|CuSO4|Cu)\b", RegexOptions.CultureInvariant | RegexOptions.IgnoreCase)]
    private static partial Regex Copper();

    [GeneratedRegex(@"\b(CO2|CO₂|carbon dioxide)(\b|\s|$)", RegexOptions.CultureInvariant | RegexOptions.IgnoreCase)]
    private static partial Regex CarbonDioxide();
}
