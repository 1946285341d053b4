using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>Whether the front ends of a station read as far as the waters that its keeper expects: one that ends below them answers "out of range" on the evening of the arrival.</summary>
public static class FrontEndReach
{
    /// <summary>What is advised reads a tenth further than the water is expected to go: one that ends there has no reading half of the time. Our own choice.</summary>
    private const double Reserve = 1.1;

    /// <summary>Each front end that does not, by its key, and what to do.</summary>
    /// <param name="station">The station as it is calibrated now.</param>
    public static IEnumerable<(string Key, string Text)> TooShort(Station station)
    {
        ArgumentNullException.ThrowIfNull(station);
        var (sensors, waters) = (station.Sensors, station.Waters);
        (string Key, ConductivityInput? Input, string Water, double MicrosiemensPerCm, double Celsius)[] all =
        [
            ("vesselConductivity", sensors.VesselConductivity, "the bag's water", waters.BagMicrosiemensPerCm, waters.BagTemperatureCelsius),
            ("vesselConductivity", sensors.VesselConductivity, "the tank's water", waters.TankMicrosiemensPerCm, waters.TankTemperatureCelsius),
            ("tankConductivity", sensors.TankConductivity, "the tank's water", waters.TankMicrosiemensPerCm, waters.TankTemperatureCelsius),
        ];
        return from front in all
               where front.Input is not null
               let most = Calibrate.MostAt25(front.Input, front.Celsius)
               where most < front.MicrosiemensPerCm
               select ($"sensors.{front.Key}",
                   $"reads up to {most:0} µS/cm at 25 °C, and {front.Water} has {front.MicrosiemensPerCm:0}: out of range. "
                   + $"A front end with feedbackOhms of {Math.Floor(front.Input.FeedbackOhms * most.Value / (Reserve * front.MicrosiemensPerCm)):0} or less, or another cell (hardware/README.md, conductivity).");
    }
}
