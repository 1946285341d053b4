using Evenwater.Core.Safety;

namespace Evenwater.Core.Planning;

/// <summary>Finds moments on a course: every five minutes and at every turn, between which it only bends one way, then by halving to far below a second.</summary>
internal static class CourseSearch
{
    private const double StepHours = 1.0 / 12;
    private const int Halvings = 50;

    /// <summary>The middles of the first five minutes and of the last of half an hour, h.</summary>
    internal const double First = 2.5 / 60, Last = 27.5 / 60;

    /// <summary>The first moment, not before <paramref name="fromHours"/>, at which a condition holds; infinite when it never does.</summary>
    public static double FirstWhen(Course course, Func<CourseAt, bool> holds, double fromHours = 0)
    {
        var before = fromHours;
        foreach (var hours in Moments(course, fromHours))
        {
            if (holds(course.At(hours))) return hours == fromHours ? hours : Halve(course, holds, before, hours);
            before = hours;
        }

        return double.PositiveInfinity;
    }

    /// <summary>The first moment from which a condition holds for <paramref name="dwellHours"/> on end.</summary>
    public static double FirstHeld(Course course, Func<CourseAt, bool> holds, double dwellHours)
    {
        var from = 0.0;
        while (true)
        {
            var start = FirstWhen(course, holds, from);
            if (double.IsPositiveInfinity(start) || start + dwellHours > Course.HorizonHours) return double.PositiveInfinity;
            var lost = FirstWhen(course, at => !holds(at), start + (1.0 / 3600));
            if (lost > start + dwellHours) return start;
            from = Math.Max(lost, from + StepHours);
        }
    }

    /// <summary>When the running program would see a value change faster than so much an hour, h: half an hour after that began; infinite when it never would.</summary>
    public static double FirstFaster(Course course, Func<CourseAt, double> value, double? perHour)
    {
        foreach (var hours in perHour is null ? [] : Moments(course, 0))
        {
            if (Math.Abs(value(course.At(hours + Last)) - value(course.At(hours + First))) > perHour * (Last - First)) return hours + 0.5;
        }

        return double.PositiveInfinity;
    }

    /// <summary>The fastest that a value changes until <paramref name="untilHours"/>, per hour, as <see cref="RateWatch"/> sees it and closes by it: between five minutes and another five, half an hour from end to end. What is over sooner has changed by so much within the hour.</summary>
    public static double FastestPerHour(Course course, Func<CourseAt, double> value, double untilHours)
    {
        var largest = 0.0;
        foreach (var hours in Moments(course, 0))
        {
            if (hours > untilHours) break;
            largest = Math.Max(largest, Math.Abs(value(course.At(Math.Min(hours + 1, untilHours))) - value(course.At(hours))));
            if (hours + First >= untilHours) continue;
            var change = Math.Abs(value(course.At(Math.Min(hours + Last, untilHours))) - value(course.At(hours + First)));
            largest = Math.Max(largest, change / (Last - First));
        }

        return largest;
    }

    private static IEnumerable<double> Moments(Course course, double fromHours)
    {
        yield return fromHours;
        var turns = course.Turns.Where(turn => turn > fromHours).SelectMany(turn => new[] { Math.BitDecrement(turn), turn }).ToArray();
        var (next, hours) = (0, fromHours);
        while (hours < Course.HorizonHours)
        {
            var step = Math.Min(hours + StepHours, Course.HorizonHours);
            while (next < turns.Length && turns[next] < step) yield return turns[next++];
            yield return hours = step;
        }
    }

    private static double Halve(Course course, Func<CourseAt, bool> holds, double without, double with)
    {
        for (var i = 0; i < Halvings && with - without > 1e-12; i++)
        {
            var middle = (without + with) / 2;
            if (holds(course.At(middle))) with = middle;
            else without = middle;
        }

        return with;
    }
}
