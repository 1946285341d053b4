using Evenwater.Core.Estimation;

namespace Evenwater.Core.Telling;

/// <summary>Three quantiles of one quantity at one instant of the future.</summary>
/// <param name="Seconds">From the evaluation, s.</param>
/// <param name="P05">5 %.</param>
/// <param name="P50">50 %.</param>
/// <param name="P95">95 %.</param>
public readonly record struct Band(double Seconds, double P05, double P50, double P95);

/// <summary>
/// The future of a filling vessel as curves to draw: V(t) = V + q t and C(t) = Ct + (C − Ct) V / (V + q t), the fill
/// formula of an ideally stirred vessel (Lebl, Notes on Diffy Qs, chapter 1).
/// While water only rises, P(level passed by t) = P(time to it ≤ t); so the 95 % curve of the volume must pass the
/// mark exactly at the 5 % quantile of the time to the mark, and so on. The curves are laid through those points where
/// they exist, so that picture and sentence agree; elsewhere they follow the volume and flow quantiles as if independent.
/// The picture ends it at a standpipe; planned draw-offs are not drawn yet.
/// </summary>
public static class Fan
{
    private const double MillilitresPerMinuteInLitresPerSecond = 1.0 / 60_000;

    /// <summary>The volume to come, L.</summary>
    /// <param name="forecast">What is known now.</param>
    /// <param name="markLitres">Brim less freeboard, L: the level that <see cref="Forecast.BrimSeconds"/> speaks of.</param>
    /// <param name="open">Whether water runs; when not, the volume stays.</param>
    /// <param name="horizonSeconds">How far to draw, s, more than 0.</param>
    /// <param name="steps">Number of steps, from 1.</param>
    public static Band[] Volume(in Forecast forecast, double markLitres, bool open, double horizonSeconds, int steps)
    {
        var v = forecast.VolumeLitres;
        var q = forecast.FlowMillilitresPerMinute;
        var brim = forecast.BrimSeconds;
        var bands = new Band[Steps(horizonSeconds, steps) + 1];
        for (var i = 0; i <= steps; i++)
        {
            var t = horizonSeconds * i / steps;
            var run = open ? t : 0;
            var middle = Through(v.P50, markLitres, brim.P50, run)
                ?? v.P50 + Litres(q.P50, run);
            var low = Through(v.P05, markLitres, brim.P95, run)
                ?? middle - Hypotenuse(v.P50 - v.P05, Litres(q.P50 - q.P05, run));
            var high = Through(v.P95, markLitres, brim.P05, run)
                ?? middle + Hypotenuse(v.P95 - v.P50, Litres(q.P95 - q.P50, run));
            bands[i] = new Band(t, Math.Max(0, Math.Min(low, middle)), Math.Max(0, middle), Math.Max(0, Math.Max(high, middle)));
        }

        return bands;
    }

    /// <summary>The vessel's conductivity to come, µS/cm at 25 °C; quantiles by number, so P05 is the lowest curve.</summary>
    /// <param name="forecast">What is known now.</param>
    /// <param name="vessel">Vessel, µS/cm at 25 °C.</param>
    /// <param name="tank">Tank, µS/cm at 25 °C; taken as constant.</param>
    /// <param name="tolerance">Even within this, µS/cm, more than 0.</param>
    /// <param name="open">Whether water runs; when not, the conductivity stays.</param>
    /// <param name="horizonSeconds">How far to draw, s, more than 0.</param>
    /// <param name="steps">Number of steps, from 1.</param>
    public static Band[] Conductivity(
        in Forecast forecast, double vessel, double tank, double tolerance, bool open, double horizonSeconds, int steps)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(tolerance);
        var difference = vessel - tank;
        var toGo = (Math.Abs(difference) / tolerance) - 1;
        var (slowGuess, middleGuess, fastGuess) = Exchange(forecast);
        var middle = Rate(toGo, forecast.MatchSeconds.P50, middleGuess);
        var fast = Math.Max(middle, Rate(toGo, forecast.MatchSeconds.P05, fastGuess));
        var slow = Math.Min(middle, Rate(toGo, forecast.MatchSeconds.P95, slowGuess));
        var bands = new Band[Steps(horizonSeconds, steps) + 1];
        for (var i = 0; i <= steps; i++)
        {
            var t = horizonSeconds * i / steps;
            var run = open ? t : 0;
            var near = tank + (difference / (1 + (fast * run)));
            var far = tank + (difference / (1 + (slow * run)));
            bands[i] = new Band(t, Math.Min(near, far), tank + (difference / (1 + (middle * run))), Math.Max(near, far));
        }

        return bands;
    }

    // q/V in 1/s: the spreads of ln q and ln V add in squares.
    private static (double Slow, double Middle, double Fast) Exchange(in Forecast forecast)
    {
        var v = forecast.VolumeLitres;
        var q = forecast.FlowMillilitresPerMinute;
        if (!(v.P05 > 0 && q.P50 > 0)) return (0, 0, 0);
        var middle = q.P50 * MillilitresPerMinuteInLitresPerSecond / v.P50;
        var slower = q.P05 > 0 ? Hypotenuse(Math.Log(q.P50 / q.P05), Math.Log(v.P95 / v.P50)) : double.PositiveInfinity;
        var faster = Hypotenuse(Math.Log(q.P95 / q.P50), Math.Log(v.P50 / v.P05));
        return (middle * Math.Exp(-slower), middle, middle * Math.Exp(faster));
    }

    // The rate at which the difference shrinks to the tolerance in the given time.
    private static double Rate(double toGo, double seconds, double guess) => (toGo > 0, seconds) switch
    {
        (true, Quantiles.Beyond) => Math.Min(guess, toGo / Quantiles.HorizonSeconds),
        (true, > 0) => toGo / seconds,
        _ => guess,
    };

    private static double? Through(double litres, double markLitres, double seconds, double t) =>
        seconds > 0 && double.IsFinite(seconds) && litres < markLitres ? litres + ((markLitres - litres) * t / seconds) : null;

    private static double Litres(double millilitresPerMinute, double seconds) => millilitresPerMinute * MillilitresPerMinuteInLitresPerSecond * seconds;

    private static double Hypotenuse(double a, double b) => Math.Sqrt((a * a) + (b * b));

    private static int Steps(double horizonSeconds, int steps)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(horizonSeconds);
        ArgumentOutOfRangeException.ThrowIfLessThan(steps, 1);
        return steps;
    }
}
