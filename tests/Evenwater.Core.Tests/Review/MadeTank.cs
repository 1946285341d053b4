using Evenwater.Core.Review;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Review;

/// <summary>Two weeks of a tank at 500 µS/cm and 25 °C, with noise of 0.1 % and 0.03 °C; what happens is added by quarter-hour, in percent and in degrees.</summary>
internal static class MadeTank
{
    public const int Begins = 700; // the eighth day, points
    private const int Days = 14;
    private static readonly DateTimeOffset s_start = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);

    public static DateTimeOffset At(int point) => s_start.AddMinutes(15 * point);

    public static Course Of(Channel channel, Func<int, double> added, Func<int, bool>? missing = null)
    {
        var random = new Random(5);
        double Noise() => Enumerable.Range(0, 12).Sum(_ => random.NextDouble()) - 6;
        return Course.Of(
            channel, Enumerable.Range(0, Days * 96).Where(i => missing?.Invoke(i) != true).Select(i => new Stretch(At(i), TimeSpan.FromMinutes(15), channel == Channel.TankConductivity ? 500 * Math.Exp((added(i) + (0.1 * Noise())) / 100) : 25 + added(i) + (0.03 * Noise()))),
            s_start, s_start.AddDays(Days), TimeZoneInfo.Utc);
    }
}
