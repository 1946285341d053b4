using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>What one kind of night does to the drip, at a time nobody knows beforehand: <see cref="Happenings"/>, as functions of three even numbers.</summary>
internal sealed record EventLaw(Func<double, double> AtShareOfAbout, Func<double, double, double> Ln, Func<double, double> OverSeconds)
{
    private const double NightSeconds = 12 * 3600;

    public static EventLaw? Of(string kind) => kind switch
    {
        "surge" => new(Midway, (size, _) => Math.Log(Even(size, 2.5, 4.6)), over => Logs(over, 10, 240)),
        "sudden-clog" => new(Midway, (size, _) => Math.Log(Logs(size, 0.1, 0.4)), over => Logs(over, 5, 120)),
        "slow-clog" => new(
            p => p < 0.6 ? 0 : p - 0.6, // (p - 0.6)/0.4 of 0.4
            (size, at) => -Even(size, 0.2, 0.55) * (NightSeconds - at) / 3600,
            _ => double.NaN), // till the morning
        _ => null,
    };

    public static double Even(double p, double low, double high) => low + ((high - low) * p);

    public static double Logs(double p, double low, double high) => low * Math.Pow(high / low, p);

    /// <summary>Sets the event of these latents by three even numbers.</summary>
    public void Draw(Latents to, double at, double size, double over, double aboutSeconds)
    {
        to.EventSeconds = AtShareOfAbout(at) * aboutSeconds;
        to.EventLn = Ln(size, to.EventSeconds);
        to.EventOverSeconds = OverSeconds(over) is var s && double.IsNaN(s) ? NightSeconds - to.EventSeconds : s;
    }

    private static double Midway(double p) => Even(p, 0.2, 0.6);
}
