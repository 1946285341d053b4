namespace Evenwater.Nights.Plant;

/// <summary>What the room takes from the vessel: water and heat.</summary>
/// <param name="Celsius">The room, °C.</param>
/// <param name="Humidity">Relative, 0 to 1.</param>
/// <param name="SquareMetres">Free surface of the water, m².</param>
/// <param name="WattsPerKelvin">Dry heat exchange of the vessel with the room, W/K.</param>
public sealed record Air(double Celsius, double Humidity, double SquareMetres, double WattsPerKelvin)
{
    private const double JoulesPerLitreKelvin = 4170; // water at 25 °C
    private const double LatentJoulesPerLitre = 2.44e6; // of evaporation at 25 °C
    private const double LitresPerSecond = 4e-5; // per m² and kPa, still air over a pool; common practice, from memory

    /// <summary>Litres evaporated in a second from water so warm.</summary>
    public double EvaporationFrom(double celsius) =>
        SquareMetres * LitresPerSecond * Math.Max(Saturation(celsius) - (Humidity * Saturation(Celsius)), 0);

    /// <summary>Degrees times litres that reach the water in a second.</summary>
    public double WarmthInto(double celsius) =>
        ((WattsPerKelvin * (Celsius - celsius)) - (LatentJoulesPerLitre * EvaporationFrom(celsius))) / JoulesPerLitreKelvin;

    /// <summary>Saturation pressure, kPa (Buck 1981, the form for 0 to 50 °C).</summary>
    internal static double Saturation(double celsius) => 0.61121 * Math.Exp((18.678 - (celsius / 234.5)) * celsius / (257.14 + celsius));
}
