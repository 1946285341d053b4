using Evenwater.Core.Review.Comparing;

namespace Evenwater.Core.Review;

/// <summary>A change of one channel that its own restlessness does not explain.</summary>
/// <param name="Channel">Which.</param>
/// <param name="At">The first point of the course after it began.</param>
/// <param name="FoundAt">The point before which all lies that was needed to tell it.</param>
/// <param name="Span">Over how many points before and after it stood out.</param>
/// <param name="Size">After less before: % of conductivity, °C, lx; of restlessness the natural logarithm of after over before.</param>
/// <param name="Sd">1-sigma of the size, in the same unit.</param>
/// <param name="Shape">How it came.</param>
public readonly record struct Swing(Channel Channel, int At, int FoundAt, int Span, double Size, double Sd, SwingShape Shape = SwingShape.Level)
{
    /// <summary>The size as it is told: % of what it was before (a halving is -50, its logarithm -69), °C, lx; of restlessness how many times as much.</summary>
    public double Told => Shape == SwingShape.Unrest ? Math.Exp(Size) : DidWords.Told(Channel, Figure.Level, Size);

    /// <summary>Size over its standard deviation.</summary>
    public double Sigmas => Size / Sd;

    /// <summary>Whether single readings scatter so much wider than before that no water makes them: 1.7 times. Common practice, no source.</summary>
    public bool Restless => Shape == SwingShape.Unrest && Size > Math.Log(Wider);

    /// <summary>How many times as wide.</summary>
    internal const double Wider = 1.7;

    /// <summary>Whether it came slowly: as a slope, or it stood out over eight hours or a day and over nothing shorter.</summary>
    public bool Slow => Shape == SwingShape.Slope || (Shape == SwingShape.Level && Span >= 32);
}
