namespace Evenwater.Page;

/// <summary>A straight map from a quantity to pixels.</summary>
/// <param name="From">Value at <paramref name="PixelFrom"/>.</param>
/// <param name="To">Value at <paramref name="PixelTo"/>; differs from <paramref name="From"/>.</param>
/// <param name="PixelFrom">Pixel of the first value.</param>
/// <param name="PixelTo">Pixel of the second.</param>
internal readonly record struct PictureScale(double From, double To, double PixelFrom, double PixelTo)
{
    private const double Day = 86_400;
    private static readonly double[] s_hourSteps = [600, 900, 1800, 3600, 7200, 10_800, 14_400, 21_600, 43_200, Day];

    public double At(double value) => PixelFrom + ((value - From) / (To - From) * (PixelTo - PixelFrom));

    /// <summary>Round values inside the range, about as many as asked: steps of 1, 2 or 5 times a power of ten.</summary>
    public IEnumerable<double> Ticks(int about)
    {
        var raw = (To - From) / about;
        var power = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        var step = (raw / power) switch { <= 1 => 1, <= 2 => 2, <= 5 => 5, _ => 10 } * power;
        for (var i = Math.Ceiling(From / step); i * step <= To; i++) yield return i == 0 ? 0 : i * step; // from below, the first is -0
    }

    /// <summary>
    /// Full hours (or round parts or multiples of them) of the wall clock inside the range, at most as many as asked; after a change of the clocks, what they then show. Days begin
    /// at midnight all the same: an hour before it, a mark would be read as the day that is over.
    /// </summary>
    public IEnumerable<(double Seconds, DateTimeOffset Clock)> ClockTicks(Func<double, DateTimeOffset> clockAt, int atMost)
    {
        var span = To - From;
        var step = Array.Find(s_hourSteps, s => span / s <= atMost) is var found and > 0 ? found : Math.Ceiling(span / atMost / Day) * Day;
        var begins = clockAt(From);
        var intoDay = begins.TimeOfDay.TotalSeconds;
        var first = (Math.Ceiling(intoDay / step) * step) - intoDay;
        for (var s = From + first; s <= To + Day; s += step)
        {
            var at = step % Day == 0 ? s + (begins.Offset - clockAt(s).Offset).TotalSeconds : s;
            if (at <= To) yield return (at, NearestSecond(clockAt(at)));
        }
    }

    /// <summary>Ranges begin at fractions of a second: a full hour, reckoned from there, is else a ten-millionth of a second short of it, and reads as the minute before.</summary>
    private static DateTimeOffset NearestSecond(DateTimeOffset clock)
    {
        var later = clock.AddTicks(TimeSpan.TicksPerSecond / 2);
        return later.AddTicks(-(later.Ticks % TimeSpan.TicksPerSecond));
    }
}
