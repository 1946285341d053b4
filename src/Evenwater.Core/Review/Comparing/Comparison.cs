namespace Evenwater.Core.Review.Comparing;

/// <summary>
/// Before and after a change, channel by channel. A figure is said to have changed only when it stands out of all that were looked at together (Holm 1979, at one in
/// ten), was not on its way there before, and does not come as large on more than one in twenty of the days when nothing was done.
/// </summary>
public static class Comparison
{
    /// <summary>How often at most anything at all is said to have changed in a tank that stands still.</summary>
    public const double FalseShare = 0.1;

    /// <summary>Less of a side than this tells nothing.</summary>
    public const double LeastMeasured = 0.5;

    private const double OtherDayHours = 24;

    /// <summary>Every channel that was read.</summary>
    /// <param name="courses">Long enough for the spans; what is longer is for the other days.</param>
    /// <param name="spans">What is compared.</param>
    /// <param name="acts">When else something was done that may have moved the tank.</param>
    /// <param name="zone">The keeper's time zone.</param>
    public static IReadOnlyList<ChannelCompared> Of(IEnumerable<Quarters> courses, CompareSpans spans, IReadOnlyCollection<DateTimeOffset> acts, TimeZoneInfo zone)
    {
        ArgumentNullException.ThrowIfNull(courses);
        var seen = courses.Select(course => (Course: course, Pair: Pair(course, spans, zone))).OrderBy(one => one.Course.Channel).ToList();
        var all = seen.SelectMany(one => TooLittle(one.Pair, one.Course, spans, zone) is not null ? [] : SideFigures.Of(one.Course.Channel).Select(figure => new Compared(
            one.Course.Channel, figure, SideFigures.Of(one.Pair.Before, figure), SideFigures.Of(one.Pair.After, figure), Verdict.TooLittle, null))).ToList();
        var standing = Holm(all);
        return [.. seen.Select(one => new ChannelCompared(
            one.Pair.Before, one.Pair.After,
            [.. all.Where(figure => figure.Channel == one.Course.Channel).Select(figure => Judged(figure, standing.Contains(figure), one.Course, spans, acts, zone, all))],
            HourCourse.Of(one.Pair.Before, one.Pair.After), TooLittle(one.Pair, one.Course, spans, zone)))];
    }

    private static Compared Judged(Compared figure, bool stands, Quarters course, CompareSpans spans, IReadOnlyCollection<DateTimeOffset> acts, TimeZoneInfo zone, List<Compared> all)
    {
        if (figure.Difference is not { } difference) return figure;
        var matters = Probe.Matters(figure.Channel, figure.Figure);
        if (!stands) return figure with { Verdict = difference.Low > -matters && difference.High < matters ? Verdict.AsBefore : Verdict.CanNotTell };
        var goingOn = figure.Figure == Figure.Level ? GoingOn(all.Find(one => one.Channel == figure.Channel && one.Figure == Figure.Slope)?.Before, spans) : null;
        var others = Others(course, spans, figure.Figure, Math.Abs(difference.Value), acts, zone);
        var told = figure with { GoingOn = goingOn, OtherDays = others };
        return told with
        {
            Verdict = goingOn is { } way && Estimate.Difference(way, difference) is { Low: < 0, High: > 0 } ? Verdict.OnItsWay
                : others.Often ? Verdict.AsOnOtherDays
                : difference.Low > -matters && difference.High < matters ? Verdict.LessThanMatters
                : difference.Value < 0 ? Verdict.Lower : Verdict.Higher,
        };
    }

    /// <summary>What the slope before would have made of the level by itself; null where there is none to be told.</summary>
    private static Estimate? GoingOn(Estimate? slope, CompareSpans spans)
    {
        var days = (spans.BeforeDays / 2.0) + (spans.AfterBegin - spans.BeforeEnd).TotalDays + (spans.AfterDays / 2.0);
        return slope is { } known && known.Chance < 1 - Estimate.Confidence ? new(known.Value * days, known.Sd * days, known.Degrees) : null;
    }

    private static (Side Before, Side After) Pair(Quarters course, CompareSpans spans, TimeZoneInfo zone) =>
        (Side.Of(course, spans.From, spans.BeforeDays, zone), Side.Of(course, spans.AfterBegin, spans.AfterDays, zone));

    private static string? TooLittle((Side Before, Side After) pair, Quarters course, CompareSpans spans, TimeZoneInfo zone) => (pair.Before.Measured, pair.After.Measured) switch
    {
        (0, 0) => "nothing was read on either side",
        (0, _) => "nothing was read before",
        (_, 0) when course.End <= spans.AfterBegin => $"of the days after nothing is read yet: ask again when they are over, {Over(spans, zone)}",
        (_, 0) => "nothing was read after",
        ( < LeastMeasured, _) => $"{pair.Before.Measured:P0} of the hours before were read; half of them is the least",
        (_, < LeastMeasured) when course.End < spans.To => $"{pair.After.Measured:P0} of the hours after are read so far; half of them is the least: ask again when they are over, {Over(spans, zone)}",
        (_, < LeastMeasured) => $"{pair.After.Measured:P0} of the hours after were read; half of them is the least",
        _ => null,
    };

    /// <summary>When the days after are over, by the keeper's clock.</summary>
    private static string Over(in CompareSpans spans, TimeZoneInfo zone) => TimeZoneInfo.ConvertTime(spans.To, zone).ToString("yyyy-MM-dd HH:mm", System.Globalization.CultureInfo.InvariantCulture);

    /// <summary>Which stand out of all, the surest first held against the strictest limit.</summary>
    private static HashSet<Compared> Holm(List<Compared> all)
    {
        var order = all.Where(one => one.Difference is not null).OrderBy(one => one.Difference!.Value.Chance).ToList();
        return [.. order.TakeWhile((one, i) => one.Difference!.Value.Chance * (order.Count - i) <= FalseShare)];
    }

    /// <summary>The same spans about every other day on which nothing was done, where they hold nothing of the change itself.</summary>
    private static OtherDays Others(Quarters course, CompareSpans spans, Figure figure, double size, IReadOnlyCollection<DateTimeOffset> acts, TimeZoneInfo zone)
    {
        var (days, asLarge, apart, last) = (0, 0, 0, DateTimeOffset.MinValue);
        var end = course.End;
        for (var at = spans.At.AddDays(-Math.Floor((spans.From - course.Start).TotalDays)); at < end; at = at.AddDays(1))
        {
            var other = spans with { At = at };
            if (other.From < course.Start || other.To > end || (other.To > spans.At && other.From < spans.AfterBegin)) continue;
            if (acts.Any(act => Math.Abs((act - at).TotalHours) < OtherDayHours)) continue;
            var (before, after) = Pair(course, other, zone);
            if (SideFigures.Plain(after, figure) - SideFigures.Plain(before, figure) is not { } difference) continue;
            (days, asLarge) = (days + 1, asLarge + (Math.Abs(difference) >= size ? 1 : 0));
            if (other.From >= last) (apart, last) = (apart + 1, other.To);
        }

        return new(days, asLarge, apart);
    }
}
