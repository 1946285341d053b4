namespace Evenwater.Core.Mixing;

/// <summary>
/// A stirred vessel whose flows do not change: in from the source, out through a standpipe or leak, and off to the air. Air takes
/// water alone, so what is dissolved stays. A fill has no outflow; at a standpipe out = in - air.
/// </summary>
/// <param name="InLitresPerHour">From the source, L/h.</param>
/// <param name="OutLitresPerHour">Mixed water leaving, L/h.</param>
/// <param name="ToAirLitresPerHour">Evaporation, L/h.</param>
public readonly record struct SteadyFlows(double InLitresPerHour, double OutLitresPerHour = 0, double ToAirLitresPerHour = 0)
{
    /// <summary>Change of the volume, L/h.</summary>
    public double NetLitresPerHour => InLitresPerHour - OutLitresPerHour - ToAirLitresPerHour;

    /// <summary>Hours until the vessel holds <paramref name="litres"/>: the overflow time when that is its rim; infinite when it never will.</summary>
    public double HoursToVolume(double startLitres, double litres)
    {
        if (litres == startLitres) return 0;
        var hours = (litres - startLitres) / NetLitresPerHour;
        return hours >= 0 ? hours : double.PositiveInfinity;
    }

    /// <summary>
    /// A conserved concentration (mass per litre, or salt per litre) in the vessel:
    /// d(VC)/dt = in Ct - out C, hence V dC/dt = in Ct - (in - air) C.
    /// </summary>
    public Relaxation Concentration(double startLitres, double start, double inflow)
        => new(startLitres, NetLitresPerHour, start, InLitresPerHour * inflow, InLitresPerHour - ToAirLitresPerHour);

    /// <summary>
    /// The vessel's temperature, °C: mixing, exchange with the room, and the heat that evaporation takes:
    /// V dT/dt = in (Tt - T) + g (Ta - T) - air L / (rho c), with g of <see cref="HeatExchange"/>.
    /// </summary>
    public Relaxation Temperature(double startLitres, double startCelsius, double inflowCelsius, HeatExchange room)
        => new(startLitres, NetLitresPerHour, startCelsius,
            (InLitresPerHour * inflowCelsius) + (room.LitresPerHour * room.RoomCelsius) - (ToAirLitresPerHour * HeatExchange.EvaporationKelvin),
            InLitresPerHour + room.LitresPerHour);
}
