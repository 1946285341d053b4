using System.Text.Json;
using System.Text.RegularExpressions;

namespace Evenwater.Core.Stations;

/// <summary>Ranges of bus addresses, pins and front ends, and that no two sensors share one.</summary>
internal static partial class SensorRules
{
    /// <summary>Highest line offset of a GPIO chip accepted; a Raspberry Pi's header ends at 27.</summary>
    private const int HighestLine = 511;

    /// <summary>A thermometer further off is broken: <see cref="Calibration.ThermometerOffset.MostCelsius"/>.</summary>
    private const double MostOffCelsius = Calibration.ThermometerOffset.MostCelsius;

    /// <summary>5 mV at a front end of 10 1/cm, 1 V and 50 ohm: no sound rectifier is further off, µS/cm. Derivation.</summary>
    private const double MostOffset = 1000;

    /// <summary>Full-scale ranges of the ADS1115's amplifier, V (data sheet, PGA).</summary>
    private static readonly double[] FullScales = [6.144, 4.096, 2.048, 1.024, 0.512, 0.256];

    public static void Check(Station station, Findings findings)
    {
        var sensors = station.Sensors;
        findings.Require(sensors.GpioChipLabel.Trim().Length is > 0 and <= 64, "sensors.gpioChipLabel", sensors.GpioChipLabel,
            "1 to 64 characters", "Copy the chip's label as gpiodetect prints it.");
        findings.Within("sensors.i2cBus", sensors.I2cBus, 0, 31, "(a whole number)", "The number in /dev/i2c-N.");
        findings.Require(sensors.OneWireRoot.StartsWith('/'), "sensors.oneWireRoot", sensors.OneWireRoot, "an absolute path", "Usually /sys/bus/w1/devices.");
        CheckConductivity("sensors.vesselConductivity", sensors.VesselConductivity, findings);
        if (sensors.TankConductivity is { } tank)
        {
            CheckConductivity("sensors.tankConductivity", tank, findings);
            CheckAlike(sensors.VesselConductivity, tank, findings);
        }

        VolumeSensorRules.Check(station, findings);
        if (sensors.Light is { } light) CheckLight(light, findings);
        CheckInputs(sensors, findings);
        CheckThermometer("sensors.vesselThermometer", sensors.VesselThermometer, findings);
        if (sensors.TankThermometer is { } tankThermometer)
        {
            CheckThermometer("sensors.tankThermometer", tankThermometer, findings);
            findings.Require(tankThermometer != sensors.VesselThermometer, "sensors.tankThermometer", tankThermometer,
                "another thermometer than the vessel's", "Warm one in the hand and see which reading rises.");
        }

        findings.Require(sensors.TankConductivity is null || sensors.TankThermometer is not null, "sensors.tankThermometer", sensors.TankThermometer,
            "a thermometer in the tank, because sensors.tankConductivity is given: its readings are carried to 25 °C by it", "Hang one beside the probe; or leave the probe out, and tell the tank's conductivity at each begin.");
        findings.Within("sensors.vesselThermometerOffsetCelsius", sensors.VesselThermometerOffsetCelsius, -MostOffCelsius, MostOffCelsius, "°C", "Reading less truth, found in ice or beside a good thermometer.");
        findings.Within("sensors.tankThermometerOffsetCelsius", sensors.TankThermometerOffsetCelsius, -MostOffCelsius, MostOffCelsius, "°C", "Reading less truth, found in ice or beside a good thermometer.");
        CheckLines(sensors, findings);
    }

    private static void CheckConductivity(string key, ConductivityInput input, Findings findings)
    {
        CheckAdc(key, input.AdcAddress, input.AdcInput, input.FullScaleVolts, findings);
        findings.Within($"{key}.excitationVolts", input.ExcitationVolts, 0.01, 5, "V", "The amplitude across the cell.");
        findings.Within($"{key}.feedbackOhms", input.FeedbackOhms, 10, 10_000_000, "ohm", "The resistor of the transimpedance amplifier.");
        findings.Within($"{key}.cellConstantPerCm", input.CellConstantPerCm, 0.01, 20, "1/cm", "0.1 for pure, 1 for fresh, 10 for sea water; calibrate it.");
        findings.Within($"{key}.offsetMicrosiemensPerCm", input.OffsetMicrosiemensPerCm, -MostOffset, MostOffset, "µS/cm", "What two standards tell; 0 when only one was taken.");
        findings.Within($"{key}.alphaPerKelvin", input.AlphaPerKelvin, 0.005, 0.04, "1/K", "0.019 to 0.021 for fresh water.");
    }

    /// <summary>At any other temperature than 25 °C two ways there make two readings of one water, and all that is told is their difference.</summary>
    private static void CheckAlike(ConductivityInput vessel, ConductivityInput tank, Findings findings)
    {
        findings.Require(tank.Compensation == vessel.Compensation, "sensors.tankConductivity.compensation", Name(tank.Compensation),
            $"{Name(vessel.Compensation)}, as sensors.vesselConductivity has it", "Give both the one that suits the water: what is carried to 25 °C in two ways can not be compared.");
        findings.Require(tank.Compensation != vessel.Compensation || tank.Compensation != Compensation.Linear || tank.AlphaPerKelvin == vessel.AlphaPerKelvin, "sensors.tankConductivity.alphaPerKelvin",
            tank.AlphaPerKelvin, $"{Findings.Text(vessel.AlphaPerKelvin)}, as sensors.vesselConductivity has it", "Give both the same coefficient: what is carried to 25 °C in two ways can not be compared.");

        static string Name(Compensation way) => JsonNamingPolicy.CamelCase.ConvertName(way.ToString());
    }

    /// <summary>An input of a converter; the data sheet knows four addresses, four inputs and six ranges.</summary>
    internal static void CheckAdc(string key, int address, int input, double fullScaleVolts, Findings findings)
    {
        findings.Within($"{key}.adcAddress", address, 72, 75, "(0x48 to 0x4B, ADS1115 data sheet)", "See what i2cdetect shows; JSON wants it in decimal.");
        findings.Within($"{key}.adcInput", input, 0, 3, "(a whole number)", "Give the input the probe is wired to.");
        findings.Require(FullScales.Contains(fullScaleVolts), $"{key}.fullScaleVolts", fullScaleVolts,
            "6.144, 4.096, 2.048, 1.024, 0.512 or 0.256 V (ADS1115 data sheet)", "Take the smallest that the signal never passes.");
    }

    private static void CheckLight(LightInput light, Findings findings)
    {
        findings.Require(light.Address is 35 or 92, "sensors.light.address", light.Address, "35 or 92 (0x23 or 0x5C, BH1750 data sheet)", "See what i2cdetect shows; JSON wants it in decimal.");
        findings.Within("sensors.light.factor", light.Factor, 0.1, 20, "(a factor)", "1 for a bare sensor; what a meter beside it shows over what it reads.");
    }

    private static void CheckInputs(Sensors sensors, Findings findings)
    {
        var seen = new Dictionary<(int Address, int Input), string>();
        ReadOnlySpan<(string Key, (int Address, int Input)? Place)> inputs =
        [
            ("sensors.vesselConductivity", (sensors.VesselConductivity.AdcAddress, sensors.VesselConductivity.AdcInput)),
            ("sensors.tankConductivity", sensors.TankConductivity is { } tank ? (tank.AdcAddress, tank.AdcInput) : null),
            ("sensors.level", sensors.Level is { } level ? (level.AdcAddress, level.AdcInput) : null),
        ];
        foreach (var (key, place) in inputs)
        {
            if (place is not { } given) continue;
            findings.Require(seen.TryAdd(given, key), $"{key}.adcInput", given.Input, $"an input or address of its own; {seen[given]} has this one", "Give the input this sensor is wired to.");
        }
    }

    /// <summary>Families whose memory is laid out as the DS18B20's, which the driver reads: 28 itself, 22 (DS1822), 42 (DS28EA00); from memory. 10 (DS18S20) counts half degrees, and 3b has an address where its resolution is looked for.</summary>
    private static void CheckThermometer(string key, string id, Findings findings)
        => findings.Require(ThermometerPattern().IsMatch(id), key, id,
            "a 1-wire thermometer's id: 28 (DS18B20 type), 22 or 42, a dash and 12 hexadecimal digits in lower case", "Copy the folder's name from the 1-wire root. Other families answer otherwise, and would never have a reading.");

    /// <summary>The lines that a station takes, by their keys.</summary>
    internal static IEnumerable<(string Key, int Line)> Lines(Sensors sensors) =>
        from part in new (string Key, int? Line)[]
        {
            ("sensors.floatLowLine", sensors.FloatLowLine), ("sensors.floatHighLine", sensors.FloatHighLine),
            ("sensors.leakLine", sensors.LeakLine), ("sensors.valveLine", sensors.ValveLine),
            ("sensors.dropCounterLine", sensors.DropCounterLine),
            ("sensors.loadCell.clockLine", sensors.LoadCell?.ClockLine), ("sensors.loadCell.dataLine", sensors.LoadCell?.DataLine),
        }
        let line = part.Line
        where line is not null
        select (part.Key, line.Value);

    private static void CheckLines(Sensors sensors, Findings findings)
    {
        var seen = new Dictionary<int, string>();
        foreach (var (key, given) in Lines(sensors))
        {
            findings.Within(key, given, 0, HighestLine, "(a line offset of the chip)", "Give the line's offset as gpioinfo prints it.");
            findings.Require(seen.TryAdd(given, key), key, given, $"a line of its own; {seen[given]} has this one", "Give the line this part is wired to.");
        }
    }

    [GeneratedRegex(@"\A(22|28|42)-[0-9a-f]{12}\z")]
    private static partial Regex ThermometerPattern();
}
