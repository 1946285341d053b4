namespace Evenwater.Core.Review.Comparing;

/// <summary>A figure with its doubt.</summary>
/// <param name="Value">What it came to.</param>
/// <param name="Sd">1-sigma, more than 0.</param>
/// <param name="Degrees">Degrees of freedom of the sigma, more than 0.</param>
public readonly record struct Estimate(double Value, double Sd, double Degrees)
{
    /// <summary>What the intervals hold: nine of ten.</summary>
    public const double Confidence = 0.9;

    /// <summary>Half of the 90 % interval.</summary>
    public double HalfWidth => Sd * StudentCurve.Point(1 - Confidence, Degrees);

    /// <summary>The interval's lower end.</summary>
    public double Low => Value - HalfWidth;

    /// <summary>Its upper end.</summary>
    public double High => Value + HalfWidth;

    /// <summary>How often a figure as far from 0 comes although nothing changed.</summary>
    public double Chance => StudentCurve.Beyond(Value / Sd, Degrees);

    /// <summary>After less before of two that know nothing of each other and may be unlike in spread (Welch 1947, with Satterthwaite's degrees of freedom).</summary>
    public static Estimate Difference(in Estimate before, in Estimate after)
    {
        var (b, a) = (before.Sd * before.Sd, after.Sd * after.Sd);
        return new(after.Value - before.Value, Math.Sqrt(b + a), (b + a) * (b + a) / ((b * b / before.Degrees) + (a * a / after.Degrees)));
    }

    /// <summary>No surer than the probe itself.</summary>
    /// <param name="least">1-sigma of what is common to all readings of a span, 0 or more.</param>
    public Estimate NoSurerThan(double least) => this with { Sd = Math.Sqrt((Sd * Sd) + (least * least)) };
}
