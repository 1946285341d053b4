namespace Evenwater.Core.Mixing;

/// <summary>
/// A stirred vessel as differential equations, for flows and waters that change with time where no closed form is at hand. The state is
/// kept in conserved amounts: litres, litres x concentration, litres x °C.
/// </summary>
public sealed class VesselEquations
{
    /// <summary>Number of elements of the state.</summary>
    public const int Size = 3;

    /// <summary>Inflow by time in hours, L/h.</summary>
    public required Func<double, double> InLitresPerHour { get; init; }

    /// <summary>Outflow of mixed water by time, L/h.</summary>
    public Func<double, double> OutLitresPerHour { get; init; } = _ => 0;

    /// <summary>Evaporation, L/h.</summary>
    public double ToAirLitresPerHour { get; init; }

    /// <summary>Concentration of the inflow by time.</summary>
    public required Func<double, double> InflowConcentration { get; init; }

    /// <summary>Temperature of the inflow by time, °C.</summary>
    public Func<double, double> InflowCelsius { get; init; } = _ => 0;

    /// <summary>Exchange with the room.</summary>
    public HeatExchange Room { get; init; }

    /// <summary>The state of a vessel that holds <paramref name="litres"/> of a given water.</summary>
    public static double[] State(double litres, double concentration, double celsius = 0) => [litres, litres * concentration, litres * celsius];

    /// <summary>The equations, for <see cref="Integrator.Run"/>.</summary>
    public void Rates(double time, ReadOnlySpan<double> state, Span<double> rates)
    {
        var (litres, inflow, outflow) = (state[0], InLitresPerHour(time), OutLitresPerHour(time));
        var (concentration, celsius) = (state[1] / litres, state[2] / litres);
        rates[0] = inflow - outflow - ToAirLitresPerHour;
        rates[1] = (inflow * InflowConcentration(time)) - (outflow * concentration);
        rates[2] = (inflow * InflowCelsius(time)) - ((outflow + ToAirLitresPerHour) * celsius)
            + (Room.LitresPerHour * (Room.RoomCelsius - celsius)) - (ToAirLitresPerHour * HeatExchange.EvaporationKelvin);
    }
}
