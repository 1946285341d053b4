namespace Evenwater.Core.Standing;

/// <summary>The light of one local day.</summary>
/// <param name="Day">Which.</param>
/// <param name="LuxHours">Illuminance times time over what was measured, lx h.</param>
/// <param name="LitHours">How long the light was on, h.</param>
/// <param name="On">When it first came on; null when nobody saw that: it never did, or something was missing just before.</param>
/// <param name="Off">When it last went off; null likewise, and while it is on again.</param>
/// <param name="MeasuredShare">How much of the day was measured, 0 to 1 (of today: of the whole day, so never 1).</param>
public readonly record struct LightDay(DateOnly Day, double LuxHours, double LitHours, DateTimeOffset? On, DateTimeOffset? Off, double MeasuredShare)
{
    /// <summary>A day of which less was measured has no total that could be compared. Common practice, no source.</summary>
    public const double LeastShare = 0.9;

    /// <summary>Light is on from here, lx: a lit room by day is 300 to 500 lx (EN 12464-1, offices 500; from memory), a lamp over a tank thousands.</summary>
    public const double OnLux = 1000;

    /// <summary>And off again below half of that: dusk, or a cloud before a window, must not switch it to and fro. Common practice, no source.</summary>
    public const double OffLux = OnLux / 2;

    /// <summary>Whether enough was measured to compare the day with others.</summary>
    public bool Tells => MeasuredShare >= LeastShare;

    /// <summary>
    /// The days that the stretches touch, in order; a day that the clocks make 23 or 25 h long is as long as it is. Each stretch belongs to the day of its middle.
    /// </summary>
    /// <param name="light">Stretches of illuminance, lx, in order of time and not overlapping; gaps count as neither light nor dark.</param>
    /// <param name="zone">The keeper's time zone.</param>
    public static IReadOnlyList<LightDay> Of(IEnumerable<Stretch> light, TimeZoneInfo zone)
    {
        ArgumentNullException.ThrowIfNull(light);
        var days = new List<LightDay>();
        var (lit, end) = (false, DateTimeOffset.MinValue);
        foreach (var stretch in light)
        {
            var day = LocalTime.Of(stretch.Middle, zone).Day;
            if (days.Count == 0 || days[^1].Day != day) days.Add(new LightDay(day, 0, 0, null, null, 0));
            var was = lit;
            lit = stretch.Mean >= (lit ? OffLux : OnLux);
            days[^1] = days[^1].With(stretch, lit, turned: lit != was && stretch.From - stretch.Length <= end, zone);
            end = stretch.To;
        }

        return days;
    }

    private LightDay With(in Stretch stretch, bool lit, bool turned, TimeZoneInfo zone)
    {
        var hours = stretch.Length.TotalHours;
        var dayHours = (LocalTime.Midnight(Day.AddDays(1), zone) - LocalTime.Midnight(Day, zone)).TotalHours;
        return this with
        {
            LuxHours = LuxHours + (stretch.Mean * hours),
            LitHours = LitHours + (lit ? hours : 0),
            On = On ?? (turned && lit ? stretch.From : null),
            Off = turned && !lit ? stretch.From : turned && On is not null ? null : Off,
            MeasuredShare = MeasuredShare + (hours / dayHours),
        };
    }
}
