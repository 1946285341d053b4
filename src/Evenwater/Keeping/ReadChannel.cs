using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Review;

namespace Evenwater.Keeping;

/// <summary>How well a channel is known that was looked back at.</summary>
/// <param name="Channel">Which.</param>
/// <param name="Hours">How much of the span was measured, h.</param>
/// <param name="KnowsItself">Whether it is known what it does by itself; if not, nothing is told of it.</param>
/// <param name="KnowsItsDay">Whether it is known what comes every day; if not, that may be told as if it were new.</param>
public sealed record ReadChannel(string Channel, double Hours, bool KnowsItself, bool KnowsItsDay)
{
    /// <summary>Of a course, over a span.</summary>
    internal static ReadChannel Of(Course course, (DateTimeOffset From, DateTimeOffset To) span) =>
        new(DidWords.Name(course.Channel), course.HoursSeen(span.From, span.To), course.KnowsItself, course.KnowsItsDay);
}
