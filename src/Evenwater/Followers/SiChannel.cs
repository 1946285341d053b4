using Evenwater.Core;

namespace Evenwater.Followers;

/// <summary>How a channel is named and scaled for others: SI units, and "at 25 °C" in the name.</summary>
/// <param name="Name">In SenML (RFC 8428: starts alphanumeric, then also - : . / _).</param>
/// <param name="Field">In InfluxDB, with the unit.</param>
/// <param name="Unit">SenML unit (RFC 8428, table of units); null for a switch, which is true or false.</param>
/// <param name="Divisor">The channel's own unit in SI units.</param>
internal sealed record SiChannel(string Name, string Field, string? Unit, double Divisor)
{
    // 1 S/m = 10 000 µS/cm.
    private static readonly SiChannel[] All =
    [
        new("vessel_conductivity_25c", "vessel_conductivity_25c_s_per_m", "S/m", 1e4),
        new("vessel_temperature", "vessel_temperature_celsius", "Cel", 1),
        new("tank_conductivity_25c", "tank_conductivity_25c_s_per_m", "S/m", 1e4),
        new("tank_temperature", "tank_temperature_celsius", "Cel", 1),
        new("float_low", "float_low", null, 1),
        new("float_high", "float_high", null, 1),
        new("leak", "leak", null, 1),
        new("drops", "drops", "count", 1),
        new("vessel_mass", "vessel_mass_kg", "kg", 1),
        new("vessel_level", "vessel_level_m", "m", 1e3),
        new("tank_light", "tank_light_lx", "lx", 1),
    ];

    public static SiChannel Of(Channel channel) => All[(int)channel];

    /// <summary>A value of the channel in <see cref="Unit"/>. Dividing by a whole number rounds once.</summary>
    public double ToSi(double value) => value / Divisor;
}
