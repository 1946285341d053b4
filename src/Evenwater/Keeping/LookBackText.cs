using System.Globalization;
using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using Evenwater.Core.Review.Comparing;

namespace Evenwater.Keeping;

/// <summary>Swings in lines for a terminal, or as rows.</summary>
internal static class LookBackText
{
    private const int Told = 3;
    private const double NearHours = 24;

    /// <summary>So much of a span is as good as all of it.</summary>
    private const double Whole = 0.9;

    /// <summary>Each episode: what swung from what to what, the likeliest causes with their numbers, and what the book says near it.</summary>
    public static IEnumerable<string> Of(LookBack back, Channel? alone, TimeZoneInfo zone)
    {
        foreach (var episode in Wanted(back, alone))
        {
            yield return $"{KeptTime.Text(At(back, episode), zone)}  {Name(episode.Strongest.Channel)} {Size(episode.Strongest)}";
            foreach (var swing in episode.Swings.GroupBy(swing => (swing.Channel, swing.Shape == SwingShape.Unrest)).Select(group => group.MaxBy(swing => Math.Abs(swing.Sigmas))))
            {
                if (swing.Shape == SwingShape.Unrest)
                {
                    yield return $"  {Name(swing.Channel),-13} {Size(swing)}";
                    continue;
                }

                var course = back.Courses[swing.Channel];
                yield return $"  {Name(swing.Channel),-13} {(BeforeAfter.Of(course, swing) is { } known
                    ? $"{As(known.Before, known.HalfWidth)} to {As(known.After, known.HalfWidth)} (each ± {As(known.HalfWidth, known.HalfWidth)}) {Own(swing.Channel)}, {Number(known.PerHour)} an hour"
                    : "not measured on both sides")}; {Math.Abs(swing.Sigmas).ToString(Math.Abs(swing.Sigmas) < 10 ? "0.0" : "0", CultureInfo.InvariantCulture)} times its own restlessness over {Number(swing.Span / 4.0)} h{(swing.At == episode.At ? "" : $"; from {KeptTime.Text(course.At(swing.At), zone)} on")}";
            }

            foreach (var (candidate, i) in Causes.Of(episode, back.Courses, back.Happened).Take(Told).Select((candidate, i) => (candidate, i)))
            {
                yield return candidate.Cause == Cause.NothingKnown ? $"  {i + 1}. nothing we know explains this better"
                    : $"  {i + 1}. {Name(candidate.Cause)} ({Number(candidate.Score)}): {string.Join("; ", candidate.Evidence.Select(one => $"{one.Text} [{one.Weight.ToString("+0.0;-0.0;0", CultureInfo.InvariantCulture)}]"))}";
            }

            foreach (var note in Near(back, episode)) yield return $"  book: {BookText.Line(note, zone)}";
        }
    }

    /// <summary>That nothing swung, and of how much that is said: what was not measured may have.</summary>
    /// <param name="read">Each channel that was looked at, and how much of the span was measured, h; one or more.</param>
    /// <param name="hours">The span, h.</param>
    /// <param name="span">The span in words.</param>
    public static string Nothing(IReadOnlyList<(string Channel, double Hours)> read, double hours, string span)
    {
        if (read.Max(one => one.Hours) is < Swings.LeastHours and var most)
        {
            return $"Can't tell whether anything swung {span}: {Number(most)} h of it were measured, and a swing shows from {Number(Swings.LeastHours)} h on.";
        }

        return read.All(one => one.Hours >= Whole * hours)
            ? $"Nothing swung {span}: {DidSentence.Listed([.. read.Select(one => one.Channel)])} moved no more than {(read.Count == 1 ? "it does by itself" : "they do by themselves")}."
            : $"Nothing swung in what was measured {span}: {DidSentence.Listed([.. read.Select(one => $"{one.Channel} for {Number(one.Hours)} h")])} of {Number(hours)} h.";
    }

    /// <summary>Of which channels it is not known yet what comes every day by itself.</summary>
    public static IReadOnlyList<string> DayUnknown(LookBack back) => [.. back.Courses.Values.Where(course => !course.KnowsItsDay).Select(course => Name(course.Channel))];

    /// <summary>What that means for what is told; null when all are known.</summary>
    public static string? Early(IReadOnlyList<string> dayUnknown) => dayUnknown.Count == 0 ? null
        : $"Of {DidSentence.Listed(dayUnknown)} not every hour of the day was measured on {DailyCourse.LeastDays} days yet: until then what comes every day may be told as if it were new, and of light nothing is told.";

    /// <summary>How much, in words: by how much it rose or fell, or how many times as wide its single readings scatter.</summary>
    public static string Size(in Swing swing) => swing.Shape == SwingShape.Unrest
        ? $"single readings scatter {Number(Math.Exp(swing.Size))} times as wide as the day before"
        : $"{Number(swing.Size)} {Unit(swing.Channel)}";

    /// <summary>A row for each swing, times in UTC; one of restlessness has no before and after.</summary>
    public static IEnumerable<string> Rows(LookBack back, Channel? alone)
    {
        yield return "episode,channel,shape,from,found,before,after,half_width,per_hour,sigmas,cause,score";
        foreach (var (episode, number) in Wanted(back, alone).Select((episode, i) => (episode, i + 1)))
        {
            var first = Causes.Of(episode, back.Courses, back.Happened)[0];
            foreach (var swing in episode.Swings)
            {
                var course = back.Courses[swing.Channel];
                var known = swing.Shape == SwingShape.Unrest ? null : BeforeAfter.Of(course, swing);
                yield return string.Create(CultureInfo.InvariantCulture,
                    $"{number},{Name(swing.Channel)},{JsonNamingPolicy.KebabCaseLower.ConvertName(swing.Shape.ToString())},{course.At(swing.At):yyyy-MM-ddTHH:mm:ssZ},{course.At(swing.FoundAt):yyyy-MM-ddTHH:mm:ssZ},{known?.Before:G6},{known?.After:G6},{known?.HalfWidth:G3},{known?.PerHour:G4},{swing.Sigmas:0.0},{Name(first.Cause)},{first.Score:0.0}");
            }
        }
    }

    /// <summary>The channel as it is asked for.</summary>
    public static string Name(Channel channel) => channel switch
    {
        Channel.TankConductivity => "conductivity",
        Channel.TankTemperature => "temperature",
        _ => "light",
    };

    private static string Name(Cause cause) => JsonNamingPolicy.KebabCaseLower.ConvertName(cause.ToString());

    private static string Unit(Channel channel) => channel == Channel.TankConductivity ? "%" : Own(channel);

    private static string Own(Channel channel) => channel switch { Channel.TankConductivity => "µS/cm", Channel.TankTemperature => "°C", _ => "lx" };

    private static string Number(double value) => value.ToString(Math.Abs(value) >= 100 ? "0" : "0.##", CultureInfo.InvariantCulture);

    /// <summary>To the second figure of what it is known to, at most in hundredths: 183.5 to 183.26, known to 0.05, is no step of 1.</summary>
    internal static string As(double value, double halfWidth) =>
        value.ToString((halfWidth > 0 ? 1 - (int)Math.Floor(Math.Log10(halfWidth)) : 2) switch { <= 0 => "0", 1 => "0.0", _ => "0.00" }, CultureInfo.InvariantCulture);

    private static IEnumerable<Episode> Wanted(LookBack back, Channel? alone) =>
        back.Episodes.Where(episode => alone is null || episode.Swings.Any(swing => swing.Channel == alone));

    private static DateTimeOffset At(LookBack back, Episode episode) => back.Courses.Values.First().At(episode.At);

    private static IEnumerable<Note> Near(LookBack back, Episode episode)
    {
        var at = At(back, episode);
        return back.Happened.Notes.Where(note => note.At is { } when && Math.Abs((when - at).TotalHours) <= NearHours);
    }
}
