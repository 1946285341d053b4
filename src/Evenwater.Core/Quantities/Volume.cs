namespace Evenwater.Core.Quantities;

/// <summary>An amount of water.</summary>
public readonly record struct Volume
{
    /// <summary>Largest value accepted, L: a thousand cubic metres, beyond any tank this program watches.</summary>
    public const double MaxLitres = 1_000_000;

    private const double LitresInCubicMetre = 1000;

    private Volume(double litres) => Litres = litres;

    /// <summary>L.</summary>
    public double Litres { get; }

    /// <summary>m3, the unit of SenML (RFC 8428).</summary>
    public double CubicMetres => Litres / LitresInCubicMetre;

    /// <summary>From 0 to 1 000 000 L.</summary>
    public static Volume FromLitres(double litres) => new(Bounds.Check(litres, 0, MaxLitres, "L"));

    /// <inheritdoc/>
    public override string ToString() => $"{Litres:0.0##} L";
}
