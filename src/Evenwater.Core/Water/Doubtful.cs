namespace Evenwater.Core.Water;

/// <summary>A figure that is only known within bounds, in one unit throughout.</summary>
/// <param name="Low">It is hardly less than this.</param>
/// <param name="Middle">The figure itself.</param>
/// <param name="High">It is hardly more than this.</param>
public readonly record struct Doubtful(double Low, double Middle, double High)
{
    /// <summary>A figure within a factor: <paramref name="factor"/> 2 is half as much to twice as much.</summary>
    internal static Doubtful ByFactor(double middle, double factor) => new(middle / factor, middle, middle * factor);

    /// <summary>A figure within a share of itself: <paramref name="share"/> 0.25 is a quarter less to a quarter more.</summary>
    internal static Doubtful ByShare(double middle, double share) => new(middle * (1 - share), middle, middle * (1 + share));
}
