using Evenwater.Core.Review;
using Evenwater.Core.Review.Comparing;
using Evenwater.Keeping;

namespace Evenwater.Page.Looking;

/// <summary>The picture of an episode: its strongest channel from a day before to a day after, with what was before and after it.</summary>
internal static class SwingPictures
{
    private const double Around = 24;
    private const double LevelHours = 2;

    public static string Of(LookBack back, Episode episode, int number, TimeZoneInfo zone)
    {
        var swing = episode.Strongest;
        var course = back.Courses[swing.Channel];
        var own = episode.Of(swing.Channel);
        var (at, told) = (course.At(own.Min(one => one.At)), course.At(own.Max(one => one.FoundAt)));
        // Of what is yet to come nothing is drawn.
        var (from, to) = (at.AddHours(-Around), course.At(Math.Min(course.PointOf(told.AddHours(Around)), course.Count)));
        List<(DateTimeOffset, double?)> points = [.. Enumerable.Range(0, course.Count).Select(i => (At: course.At(i), Value: course.Seen[i])).Where(point => point.At >= from && point.At < to)];
        List<LookLevel> levels = [];
        var moved = BeforeAfter.Of(course, own);
        if (moved is { } known)
        {
            var (before, after) = (course.At(known.At), course.At(known.AfterFrom));
            levels.Add(new(before.AddHours(-LevelHours), before, known.Before - known.HalfWidth, known.Before, known.Before + known.HalfWidth));
            levels.Add(new(after, after.AddHours(LevelHours), known.After - known.HalfWidth, known.After, known.After + known.HalfWidth));
        }

        var name = DidWords.Name(swing.Channel);
        var words = $"It began {KeptTime.Text(at, zone)}.";
        if (levels is [var was, var came])
        {
            var (before, after) = (DidWords.SayLevel(swing.Channel, was.Level), $"{DidWords.SayLevel(swing.Channel, came.Level)} {DidPictures.Unit(swing.Channel)}");
            words = $"{(moved is { OfHour: true } ? $"{after} where {before} was expected at that hour" : $"From {before} to {after}")}, beginning {KeptTime.Text(at, zone)}.";
        }

        return LookPicture.Both(new($"swing-{number}", $"{char.ToUpperInvariant(name[0])}{name[1..]}", words, DidPictures.Unit(swing.Channel), from, to, points, levels, [(at, null)]), zone);
    }
}
