namespace Evenwater.Core.Quantities;

/// <summary>Water per time, of a drip, an overflow or a draw-off.</summary>
public readonly record struct FlowRate
{
    /// <summary>Largest value accepted, mL/min: an open tap, far above any drip.</summary>
    public const double MaxMillilitresPerMinute = 20_000;

    /// <summary>1 L/h in mL/min.</summary>
    private const double MillilitresPerMinuteInLitrePerHour = 1000.0 / 60;

    /// <summary>1 m3/s in mL/min.</summary>
    private const double MillilitresPerMinuteInCubicMetrePerSecond = 6e7;

    private FlowRate(double millilitresPerMinute) => MillilitresPerMinute = millilitresPerMinute;

    /// <summary>mL/min.</summary>
    public double MillilitresPerMinute { get; }

    /// <summary>L/h.</summary>
    public double LitresPerHour => MillilitresPerMinute / MillilitresPerMinuteInLitrePerHour;

    /// <summary>m3/s, the unit of SenML (RFC 8428).</summary>
    public double CubicMetresPerSecond => MillilitresPerMinute / MillilitresPerMinuteInCubicMetrePerSecond;

    /// <summary>From 0 to 20 000 mL/min.</summary>
    public static FlowRate FromMillilitresPerMinute(double millilitresPerMinute)
        => new(Bounds.Check(millilitresPerMinute, 0, MaxMillilitresPerMinute, "mL/min"));

    /// <summary>From 0 to 1200 L/h.</summary>
    public static FlowRate FromLitresPerHour(double litresPerHour)
        => new(Bounds.Check(litresPerHour, 0, MaxMillilitresPerMinute / MillilitresPerMinuteInLitrePerHour, "L/h")
            * MillilitresPerMinuteInLitrePerHour);

    /// <inheritdoc/>
    public override string ToString() => $"{MillilitresPerMinute:0.0##} mL/min";
}
