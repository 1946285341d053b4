namespace Evenwater.Core.Estimation;

/// <summary>Where a path starts.</summary>
/// <param name="Litres">What the vessel holds, L.</param>
/// <param name="MillilitresPerMinute">The flow.</param>
/// <param name="Kept">Share of its water that is the first water, 0 to 1.</param>
internal readonly record struct PathStart(double Litres, double MillilitresPerMinute, double Kept)
{
    public static PathStart Of(ReadOnlySpan<double> x) => new(
        Math.Exp(Math.Clamp(x[State.LnVolume], -7, 12)), Math.Exp(Math.Clamp(x[State.LnFlow], -10, 10)), Math.Exp(Math.Clamp(x[State.LnKept], -30, 0)));
}
