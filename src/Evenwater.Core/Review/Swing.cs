namespace Evenwater.Core.Review;

/// <summary>A change of one channel that its own restlessness does not explain.</summary>
/// <param name="Channel">Which.</param>
/// <param name="At">The first point of the course after it began.</param>
/// <param name="FoundAt">The last point that was needed to tell it.</param>
/// <param name="Span">Over how many points before and after it stood out.</param>
/// <param name="Size">After less before: % of conductivity, °C, lx.</param>
/// <param name="Sd">1-sigma of the size, in the same unit.</param>
public readonly record struct Swing(Channel Channel, int At, int FoundAt, int Span, double Size, double Sd)
{
    /// <summary>Size over its standard deviation.</summary>
    public double Sigmas => Size / Sd;

    /// <summary>Whether it came slowly: it stood out over eight hours or a day, and over nothing shorter.</summary>
    public bool Slow => Span >= 32;
}
