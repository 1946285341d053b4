namespace Evenwater.Core.Stations;

/// <summary>
/// That no two stations of one computer are wired to the same part. A station file that was copied for a second vessel and not changed throughout would have one vessel watched by the probes of another. Only what belongs to
/// the tank may be shared: two vessels may drip from one.
/// </summary>
public static class SharedParts
{
    /// <summary>What a station takes that another has already; nothing where one of both is simulated.</summary>
    /// <param name="station">The station.</param>
    /// <param name="other">The other one.</param>
    public static IReadOnlyList<Problem> Of(Station station, Station other)
    {
        if (station.Sensors.Source != SensorSource.Board || other.Sensors.Source != SensorSource.Board) return [];
        return
        [
            .. from part in Of(station.Sensors)
               from taken in Of(other.Sensors)
               where part.Place == taken.Place && !(part.IsOfTank && taken.IsOfTank)
               select new Problem(part.Key, part.Place, $"a part of its own; {other.Name} has this one as its {taken.Key}", "Give what this station is wired to. Two stations may share a tank's probe and thermometer, and nothing else."),
        ];
    }

    private static IEnumerable<(string Key, string Place, bool IsOfTank)> Of(Sensors sensors)
    {
        foreach (var (key, line) in SensorRules.Lines(sensors)) yield return (key, $"line {line} of {sensors.GpioChipLabel}", false);
        yield return ("sensors.vesselConductivity.adcInput", Input(sensors.VesselConductivity.AdcAddress, sensors.VesselConductivity.AdcInput), false);
        if (sensors.TankConductivity is { } tank) yield return ("sensors.tankConductivity.adcInput", Input(tank.AdcAddress, tank.AdcInput), true);
        if (sensors.Level is { } level) yield return ("sensors.level.adcInput", Input(level.AdcAddress, level.AdcInput), false);
        yield return ("sensors.vesselThermometer", sensors.VesselThermometer, false);
        if (sensors.TankThermometer is { } thermometer) yield return ("sensors.tankThermometer", thermometer, true);

        string Input(int address, int input) => $"input {input} of the converter at {address} on I2C bus {sensors.I2cBus}";
    }
}
