using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Pacing;

/// <summary>How fast and how far the water may go, as the station asks for it.</summary>
/// <param name="MicrosiemensPerCmPerHour">Conductivity, µS/cm at 25 °C per hour; infinite without a limit.</param>
/// <param name="CelsiusPerHour">Temperature, °C per hour; infinite without a limit.</param>
/// <param name="TotalMicrosiemensPerCm">Conductivity in one run, µS/cm at 25 °C; infinite without a limit.</param>
/// <param name="TotalCelsius">Temperature in one run, °C; infinite without a limit.</param>
public readonly record struct Pace(double MicrosiemensPerCmPerHour, double CelsiusPerHour, double TotalMicrosiemensPerCm, double TotalCelsius)
{
    /// <summary>The slowest line, µS/cm or °C per hour: alike at the start, there is nothing to lead.</summary>
    private const double Least = 1e-6;

    /// <summary>The pace of a station that has pacing.</summary>
    /// <param name="station">The station.</param>
    /// <param name="fromMicrosiemensPerCm">The vessel's conductivity at the start.</param>
    /// <param name="toMicrosiemensPerCm">The tank's.</param>
    /// <param name="fromCelsius">The vessel's temperature at the start.</param>
    /// <param name="toCelsius">The tank's.</param>
    public static Pace Of(Station station, double fromMicrosiemensPerCm, double toMicrosiemensPerCm, double fromCelsius, double toCelsius)
    {
        ArgumentNullException.ThrowIfNull(station);
        var pacing = station.Pacing ?? throw new ArgumentException("a station without pacing", nameof(station));
        var limits = AnimalLimits.Of(station.Limits);
        var share = pacing.ShareOfLimit;
        var pace = new Pace(
            Of(limits.MicrosiemensPerCmPerHour, share), Of(limits.CelsiusPerHour, share), Of(limits.TotalMicrosiemensPerCm, share), Of(limits.TotalCelsius, share));
        if (pacing.OverHours is not { } hours)
        {
            return pace;
        }

        // The line is the one of the two that has further to go, by its own tolerance; the other follows with the same water.
        var (conductivity, temperature) = (Math.Abs(toMicrosiemensPerCm - fromMicrosiemensPerCm), Math.Abs(toCelsius - fromCelsius));
        return conductivity / Planning.PlanTimes.Tolerance(station) >= temperature / station.Match.TemperatureToleranceCelsius
            ? pace with { MicrosiemensPerCmPerHour = Math.Min(pace.MicrosiemensPerCmPerHour, Math.Max(conductivity / hours, Least)) }
            : pace with { CelsiusPerHour = Math.Min(pace.CelsiusPerHour, Math.Max(temperature / hours, Least)) };
    }

    private static double Of(SourcedLimit? limit, double share) => limit is { Value: var most } ? share * most : double.PositiveInfinity;
}
