namespace Evenwater.Core.Mixing;

/// <summary>Heat between vessel and room. Fresh water's properties; sea water's differ by 2 %, the exchange itself is known to 30 % at best.</summary>
/// <param name="WattsPerKelvin">UA; 2 to 4 W/K for an open 10 L bucket (calculated from usual surface coefficients, no measured source), less with a lid.</param>
/// <param name="RoomCelsius">The room, °C.</param>
public readonly record struct HeatExchange(double WattsPerKelvin, double RoomCelsius)
{
    /// <summary>rho c of water at 25 °C in Wh/(L K): 0.99705 kg/L x 4.1813 kJ/(kg K) / 3.6 (IAPWS-95).</summary>
    public const double WattHoursPerLitreKelvin = 1.15805;

    /// <summary>By how much 1 L evaporating would cool 1 L: latent heat 2441.7 kJ/kg at 25 °C (IAPWS-95) / 4.1813 kJ/(kg K).</summary>
    public const double EvaporationKelvin = 583.96;

    /// <summary>The exchange as if water of room temperature flowed through: UA / (rho c), L/h.</summary>
    public double LitresPerHour => WattsPerKelvin / WattHoursPerLitreKelvin;
}
