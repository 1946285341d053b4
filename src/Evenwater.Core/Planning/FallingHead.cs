using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>
/// By how much a drip slows as the vessel's water rises and the tank's falls. A restriction passes flow in proportion to the head when the flow in it is viscous
/// (Hagen and Poiseuille) and to its root when it is a hole (Torricelli); a drip's is between, and the middle is taken.
/// </summary>
internal readonly struct FallingHead
{
    /// <summary>Between 0.5 and 1. The two ends differ by 2 % in the time of a night that loses a sixth of its head.</summary>
    private const double Exponent = 0.75;

    /// <summary>Area of the vessel's water when the station file does not say, m2: a pail of 25 cm.</summary>
    private const double UsualAreaSquareMetres = 0.049;

    /// <summary>Below this share of the first head the drip is as good as stopped; it keeps the arithmetic finite.</summary>
    private const double Least = 1e-6;

    private readonly double _headMillimetres;
    private readonly double _startLitres;
    private readonly double _vesselArea;
    private readonly double _sourceArea;

    private FallingHead(double headMillimetres, double startLitres, double vesselArea, double sourceArea)
        => (_headMillimetres, _startLitres, _vesselArea, _sourceArea) = (headMillimetres, startLitres, vesselArea, sourceArea);

    /// <summary>Whether the drip changes at all: only where the station file tells the head.</summary>
    public bool Falls => _headMillimetres > 0;

    public static FallingHead Of(Station station, double startLitres) => new(
        1000 * station.Drip.HeadMetres ?? 0, startLitres, station.Vessel.AreaSquareMetres ?? UsualAreaSquareMetres,
        station.Source.AutomaticTopOff ? double.PositiveInfinity : station.Source.SurfaceAreaSquareMetres);

    /// <summary>
    /// The drip over the first drip in the middle of a step (above 1 after a draw-off below the first volume), when so much is in the vessel and so much has come in at its start. Half a step of the first
    /// drip would be <paramref name="halfStepLitres"/>; it lifts the vessel's water too unless a standpipe runs.
    /// </summary>
    public double FactorAt(double litres, double inflowLitres, double halfStepLitres, bool rises)
    {
        if (!Falls) return 1;
        var now = Factor(litres, inflowLitres, 0, rises);
        return Factor(litres, inflowLitres, now * halfStepLitres, rises);
    }

    /// <summary>With so much more come in; L / m2 = mm.</summary>
    private double Factor(double litres, double inflowLitres, double aheadLitres, bool rises)
    {
        var lost = ((litres + (rises ? aheadLitres : 0) - _startLitres) / _vesselArea) + ((inflowLitres + aheadLitres) / _sourceArea);
        return Math.Pow(Math.Max(Least, 1 - (lost / _headMillimetres)), Exponent);
    }
}
