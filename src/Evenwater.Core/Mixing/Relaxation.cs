namespace Evenwater.Core.Mixing;

/// <summary>
/// The one law behind every stirred vessel: V dy/dt = p - b y while V grows or shrinks evenly. With the exposure
/// tau = integral of dt/V it reads dy/dtau = p - b y, so a fill, a constant volume, unequal flows, water lost to air and
/// heat exchange are one closed form. Any consistent units do; litres and hours are used here.
/// </summary>
/// <param name="StartLitres">Volume at time 0, more than 0.</param>
/// <param name="NetLitresPerHour">Change of the volume.</param>
/// <param name="StartValue">y at time 0: a concentration, or a temperature.</param>
/// <param name="SourcePerHour">p: what comes in per hour, litres x value.</param>
/// <param name="PullLitresPerHour">b: how strongly y is pulled towards p / b.</param>
public readonly record struct Relaxation(
    double StartLitres, double NetLitresPerHour, double StartValue, double SourcePerHour, double PullLitresPerHour)
{
    /// <summary>Where y goes in the end; infinite when nothing pulls it back.</summary>
    public double SettlesAt => SourcePerHour / PullLitresPerHour;

    /// <summary>Volume after <paramref name="hours"/>, L; not below 0.</summary>
    public double LitresAfter(double hours) => Math.Max(StartLitres + (NetLitresPerHour * hours), 0);

    /// <summary>y after <paramref name="hours"/>, at least 0 and before the vessel has run empty.</summary>
    public double ValueAfter(double hours) => ValueAtExposure(ExposureAfter(hours));

    /// <summary>Hours until y is <paramref name="value"/>; 0 when it is so now, infinite when it never will be.</summary>
    public double HoursTo(double value)
    {
        if (value == StartValue) return 0;
        double exposure;
        if (PullLitresPerHour == 0)
        {
            exposure = (value - StartValue) / SourcePerHour;
        }
        else
        {
            // e^(-b tau) = (value - settles) / (start - settles), of which both sides must be positive.
            var left = (value - SettlesAt) / (StartValue - SettlesAt);
            exposure = left > 0 ? -Math.Log(left) / PullLitresPerHour : double.PositiveInfinity;
        }

        return exposure >= 0 ? HoursToExposure(exposure) : double.PositiveInfinity;
    }

    private double ValueAtExposure(double exposure)
    {
        // y = y0 e^(-b tau) + p (1 - e^(-b tau)) / b, the second factor tending to tau as b vanishes.
        var pulled = PullLitresPerHour * exposure;
        var share = pulled == 0 ? exposure : -ExpMinus1(-pulled) / PullLitresPerHour;
        return (StartValue * Math.Exp(-pulled)) + (SourcePerHour * share);
    }

    private double ExposureAfter(double hours)
    {
        var growth = NetLitresPerHour * hours / StartLitres;
        return growth == 0 ? hours / StartLitres : Log1Plus(growth) / NetLitresPerHour;
    }

    private double HoursToExposure(double exposure)
    {
        if (double.IsPositiveInfinity(exposure)) return exposure;
        var growth = NetLitresPerHour * exposure;
        return growth == 0 ? StartLitres * exposure : StartLitres * ExpMinus1(growth) / NetLitresPerHour;
    }

    /// <summary>ln(1 + x) without losing digits near 0 (Kahan's identity).</summary>
    private static double Log1Plus(double x)
    {
        var u = 1 + x;
        return u == 1 ? x : Math.Abs(x) < 1 ? Math.Log(u) * x / (u - 1) : Math.Log(u);
    }

    /// <summary>e^x - 1 without losing digits near 0 (Kahan's identity).</summary>
    private static double ExpMinus1(double x)
    {
        var e = Math.Exp(x);
        if (e == 1) return x;
        return Math.Abs(x) < 1 ? (e - 1) * x / Math.Log(e) : e - 1;
    }
}
