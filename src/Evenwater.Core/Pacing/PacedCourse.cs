using Evenwater.Core.Mixing;

namespace Evenwater.Core.Pacing;

/// <summary>
/// A stirred vessel whose inflow is held back wherever the pace asks for it: as much as the drip gives, and no more than keeps conductivity and temperature
/// at their rates. In a fill the most that may come in grows with the square of the volume, q = r V²/(V0 d0), so the first hours are slow and the rest is the drip's own.
/// </summary>
/// <remarks>Letting in as much as is allowed at every moment is also the fastest: more water sooner leaves every later moment more room. The tests hold that against a dynamic programme.</remarks>
public struct PacedCourse
{
    /// <summary>First step, h, and by what share of the time so far it may grow.</summary>
    private const double StepHours = 1.0 / 60;

    /// <inheritdoc cref="StepHours"/>
    private const double StepsSoFar = 100;

    /// <summary>In one step no more than this share of the vessel comes in.</summary>
    private const double MostShare = 0.005;

    /// <summary>What was reached was reached, as the pacer has it, whatever the room does to the water afterwards.</summary>
    private bool _ended;

    /// <summary>The most that the drip gives, L/h.</summary>
    public required double MostLitresPerHour { get; init; }

    /// <summary>How fast and how far it may go.</summary>
    public required Pace Pace { get; init; }

    /// <summary>The tank's water, µS/cm at 25 °C.</summary>
    public required double TankMicrosiemensPerCm { get; init; }

    /// <summary>The tank's water, °C.</summary>
    public double TankCelsius { get; init; }

    /// <summary>Exchange with the room.</summary>
    public HeatExchange Room { get; init; }

    /// <summary>A standpipe holds the vessel here, L; 0 for a fill.</summary>
    public double StandpipeLitres { get; init; }

    /// <summary>Where the run began, µS/cm at 25 °C: it may go no further from there than the whole run may; null: no such limit.</summary>
    public double? FromMicrosiemensPerCm { get; init; }

    /// <inheritdoc cref="FromMicrosiemensPerCm"/>
    public double? FromCelsius { get; init; }

    /// <summary>Hours since the start.</summary>
    public double Hours { get; private set; }

    /// <summary>Water in the vessel, L.</summary>
    public required double Litres { get; set; }

    /// <summary>Its conductivity, µS/cm at 25 °C.</summary>
    public required double MicrosiemensPerCm { get; set; }

    /// <summary>Its temperature, °C.</summary>
    public double Celsius { get; set; }

    /// <summary>Come in so far, L.</summary>
    public double InflowLitres { get; private set; }

    /// <summary>The inflow that is allowed now, L/h.</summary>
    public readonly double LitresPerHour
    {
        get
        {
            var apart = Math.Abs(TankMicrosiemensPerCm - MicrosiemensPerCm);
            return _ended ? 0 : Math.Max(Math.Min(MostLitresPerHour, Math.Min(Pace.MicrosiemensPerCmPerHour * Litres / Math.Max(apart, 1e-9), ByTemperature())), 0);
        }
    }

    /// <summary>Goes on until the conductivity is within a tolerance of the tank's.</summary>
    /// <param name="toleranceMicrosiemensPerCm">More than 0.</param>
    /// <param name="untilHours">And no further than this.</param>
    /// <returns>Hours since the start; infinite when that time came first.</returns>
    public double GoUntilEven(double toleranceMicrosiemensPerCm, double untilHours)
    {
        while (Math.Abs(TankMicrosiemensPerCm - MicrosiemensPerCm) > toleranceMicrosiemensPerCm)
        {
            if (Hours >= untilHours)
            {
                return double.PositiveInfinity;
            }

            Step(untilHours);
        }

        return Hours;
    }

    /// <summary>Goes on until the vessel holds so much; hours since the start, infinite when <paramref name="untilHours"/> came first.</summary>
    public double GoUntilFull(double litres, double untilHours)
    {
        while (Litres < litres)
        {
            if (Hours >= untilHours)
            {
                return double.PositiveInfinity;
            }

            Step(untilHours);
        }

        return Hours;
    }

    /// <summary>One step: a minute, later a hundredth of the time so far.</summary>
    public void Step(double untilHours)
    {
        var inflow = LitresPerHour;
        var hours = Math.Min(Math.Min(Math.Max(StepHours, Hours / StepsSoFar), MostShare * Litres / Math.Max(inflow, 1e-9)), Math.Max(untilHours - Hours, 1e-6));
        var poured = inflow * hours;
        var after = Math.Min(Litres + poured, Math.Max(StandpipeLitres > 0 ? StandpipeLitres : double.PositiveInfinity, Litres));

        // In a fill V d stays as it is; at a standpipe d falls by e^(-q t / V); between them the first of the step fills.
        var left = Litres / after * Math.Exp(-(poured - (after - Litres)) / after);
        MicrosiemensPerCm = TankMicrosiemensPerCm + ((MicrosiemensPerCm - TankMicrosiemensPerCm) * left);
        var exchanged = Room.LitresPerHour * hours / after;
        Celsius = TankCelsius + ((Celsius - TankCelsius) * left);
        Celsius = Room.RoomCelsius + ((Celsius - Room.RoomCelsius) * Math.Exp(-exchanged));
        (Litres, InflowLitres, Hours) = (after, InflowLitres + poured, Hours + hours);
        _ended |= Ended(MicrosiemensPerCm, TankMicrosiemensPerCm, FromMicrosiemensPerCm, Pace.TotalMicrosiemensPerCm) || Ended(Celsius, TankCelsius, FromCelsius, Pace.TotalCelsius);
    }

    /// <summary>Whether the water has come as far as it may, and the tank lies beyond.</summary>
    private static bool Ended(double value, double tank, double? from, double total) =>
        from is { } start && Math.Abs(tank - start) > total && (value - start) * Math.Sign(tank - start) >= total;

    /// <summary>What may come in so that the temperature changes by no more than it may; what the room does of that is taken off.</summary>
    private readonly double ByTemperature()
    {
        var apart = TankCelsius - Celsius;
        if (double.IsInfinity(Pace.CelsiusPerHour) || Math.Abs(apart) < 1e-6)
        {
            return double.PositiveInfinity;
        }

        var room = Room.LitresPerHour * (Room.RoomCelsius - Celsius) * Math.Sign(apart);
        return ((Pace.CelsiusPerHour * Litres) - room) / Math.Abs(apart);
    }
}
