using Evenwater.Core.Standing;

namespace Evenwater.Core.Review.Comparing;

/// <summary>One side of a change: whole days of hours of one channel, on the scale that differences are told in.</summary>
/// <param name="Channel">Which.</param>
/// <param name="Days">How many days it is long.</param>
/// <param name="Hours">24 a day, medians of their quarters: of conductivity 100 times the logarithm, so that differences are per cent; °C; lx. Null where less than half was measured.</param>
/// <param name="OfDay">Of each the hour of the local day, 0 to 23.</param>
/// <param name="Quarters">The same, four an hour; those of an hour that was left out are null too.</param>
/// <param name="LeftOut">Hours that were left out because they lay far off and by themselves.</param>
public sealed record Side(Channel Channel, int Days, IReadOnlyList<double?> Hours, IReadOnlyList<int> OfDay, IReadOnlyList<double?> Quarters, int LeftOut)
{
    private const int FarOff = 6;
    private const int ByItself = 3;

    /// <summary>How much of it was measured, 0 to 1.</summary>
    public double Measured => Hours.Count == 0 ? 0 : (double)Hours.Count(hour => hour is not null) / Hours.Count;

    /// <summary>The side that begins at a full hour.</summary>
    public static Side Of(Quarters course, DateTimeOffset from, int days, TimeZoneInfo zone)
    {
        ArgumentNullException.ThrowIfNull(course);
        var first = course.Of(from);
        double?[] own = [.. Enumerable.Range(first, days * Comparing.Quarters.PerDay).Select(i => i >= 0 && i < course.Seen.Count ? course.Seen[i] : null)];
        double?[] quarters = Array.ConvertAll(own, value => value is { } one ? Course.Scaled(course.Channel, one) : (double?)null);
        double?[] hours = [.. quarters.Chunk(4).Select(Hour)];
        int[] ofDay = [.. Enumerable.Range(0, hours.Length).Select(i => LocalTime.Of(from.AddHours(i), zone).Hour)];
        var leftOut = course.Channel == Channel.TankLight ? 0 : LeaveOut(hours, quarters, ofDay, Probe.Least(course.Channel));
        return new(course.Channel, days, hours, ofDay, quarters, leftOut);
    }

    private static double? Hour(double?[] quarters)
    {
        double[] known = [.. quarters.OfType<double>()];
        return known.Length >= 2 ? Spread.Median(known) : null;
    }

    /// <summary>A probe in a standard, or in the air, for up to three hours: six deviations off its hour of the day. What lasts longer is left in.</summary>
    private static int LeaveOut(double?[] hours, double?[] quarters, int[] ofDay, double least)
    {
        double?[] usual = [.. Enumerable.Range(0, 24).Select(hour => Middle(hours.Where((_, i) => ofDay[i] == hour)))];
        double?[] off = [.. hours.Select((value, i) => value - usual[ofDay[i]])];
        if (off.All(value => value is null)) return 0;
        var limit = FarOff * Math.Max(least, Spread.NormalFactor * Spread.MedianDeviation(off.OfType<double>()));
        var count = 0;
        for (var i = 0; i < off.Length; i++)
        {
            var end = i;
            while (end < off.Length && Math.Abs(off[end] ?? 0) > limit) end++;
            for (var j = i; end - i <= ByItself && j < end; j++, count++)
            {
                hours[j] = null;
                Array.Clear(quarters, 4 * j, 4);
            }

            i = Math.Max(i, end);
        }

        return count;
    }

    private static double? Middle(IEnumerable<double?> values)
    {
        double[] known = [.. values.OfType<double>()];
        return known.Length > 0 ? Spread.Median(known) : null;
    }
}
