namespace Evenwater.Core.Stations;

/// <summary>Where the samples come from.</summary>
public enum SensorSource
{
    /// <summary>The simulated rig; the station's name begins with "sim-".</summary>
    Simulated,

    /// <summary>Buses and pins of this computer.</summary>
    Board,
}

/// <summary>Which library talks to the pins.</summary>
public enum GpioLibrary
{
    /// <summary>libgpiod 1.x (Debian 12).</summary>
    Libgpiod1,

    /// <summary>libgpiod 2.x (Debian 13).</summary>
    Libgpiod2,
}

/// <summary>Bus addresses, pins and kinds of one station.</summary>
public sealed record Sensors
{
    /// <summary>Simulated rig or this computer's own pins.</summary>
    public required SensorSource Source { get; init; }

    /// <summary>The GPIO chip by its label, as gpiodetect prints it; never by number.</summary>
    public string GpioChipLabel { get; init; } = "";

    /// <summary>The library for the pins.</summary>
    public GpioLibrary GpioLibrary { get; init; } = GpioLibrary.Libgpiod2;

    /// <summary>Number of the I2C bus, 0 to 31.</summary>
    public int I2cBus { get; init; } = 1;

    /// <summary>Root of the 1-wire devices.</summary>
    public string OneWireRoot { get; init; } = "/sys/bus/w1/devices";

    /// <summary>The vessel's conductivity probe.</summary>
    public required ConductivityInput VesselConductivity { get; init; }

    /// <summary>The tank's conductivity probe; without one, a run begins with the tank's conductivity as measured by hand.</summary>
    public ConductivityInput? TankConductivity { get; init; }

    /// <summary>The vessel's thermometer, a 1-wire id such as 28-0000054b97a5.</summary>
    public required string VesselThermometer { get; init; }

    /// <summary>The tank's thermometer; null when there is none.</summary>
    public string? TankThermometer { get; init; }

    /// <summary>How much too high the vessel's thermometer reads, °C; taken off its readings.</summary>
    public double VesselThermometerOffsetCelsius { get; init; }

    /// <summary>How much too high the tank's reads, °C.</summary>
    public double TankThermometerOffsetCelsius { get; init; }

    /// <summary>Line offset of the low float; null when there is none.</summary>
    public int? FloatLowLine { get; init; }

    /// <summary>Line offset of the high float's own contact for software; null when there is none.</summary>
    public int? FloatHighLine { get; init; }

    /// <summary>Line offset of the leak sensor; null when there is none.</summary>
    public int? LeakLine { get; init; }

    /// <summary>Line offset of a photo-interrupter that the drops fall through; null when there is none.</summary>
    public int? DropCounterLine { get; init; }

    /// <summary>The scale under the vessel; null when there is none.</summary>
    public LoadCellInput? LoadCell { get; init; }

    /// <summary>The level sensor in the vessel; null when there is none.</summary>
    public LevelInput? Level { get; init; }

    /// <summary>The light sensor over the tank; null when there is none.</summary>
    public LightInput? Light { get; init; }

    /// <summary>Line offset of the pulse output that holds the valve open.</summary>
    public required int ValveLine { get; init; }
}

/// <summary>A bridge of strain gauges under the vessel, behind an HX711-type converter with two wires.</summary>
public sealed record LoadCellInput
{
    /// <summary>Line offset of the converter's clock input.</summary>
    public required int ClockLine { get; init; }

    /// <summary>Line offset of the converter's data output.</summary>
    public required int DataLine { get; init; }

    /// <summary>Counts with the empty vessel on it, −8,388,608 to 8,388,607.</summary>
    public required int ZeroCounts { get; init; }

    /// <summary>Counts for each kilogram more; negative when the bridge is wired the other way round.</summary>
    public required double CountsPerKilogram { get; init; }

    /// <summary>How well that zero is known, 1-sigma, kg.</summary>
    public double ZeroSdKilograms { get; init; } = 0.05;
}

/// <summary>A level sensor whose voltage rises with the water, such as a submersible pressure sensor, on one ADS1115 channel.</summary>
public sealed record LevelInput
{
    /// <summary>I2C address, 72 to 75 (0x48 to 0x4B).</summary>
    public int AdcAddress { get; init; } = 72;

    /// <summary>Single-ended input, 0 to 3.</summary>
    public required int AdcInput { get; init; }

    /// <summary>Full scale, V: 6.144, 4.096, 2.048, 1.024, 0.512 or 0.256.</summary>
    public double FullScaleVolts { get; init; } = 2.048;

    /// <summary>What it gives with the water at the vessel's bottom, V.</summary>
    public required double ZeroVolts { get; init; }

    /// <summary>Rise of the water for each volt more, mm.</summary>
    public required double MillimetresPerVolt { get; init; }

    /// <summary>Less than this is a broken wire, V; 0 for a sensor whose zero is 0 V. A 4 to 20 mA loop never gives less than 3.6 mA (NAMUR NE 43, from memory).</summary>
    public double BrokenBelowVolts { get; init; }

    /// <summary>How well its zero is known, 1-sigma, mm.</summary>
    public double ZeroSdMillimetres { get; init; } = 3;
}

/// <summary>A light sensor of the BH1750 type over the tank.</summary>
public sealed record LightInput
{
    /// <summary>I2C address, 35 or 92 (0x23, 0x5C).</summary>
    public int Address { get; init; } = 35;

    /// <summary>What its reading is multiplied with: 1, or what a meter at its place shows over what it reads, when it sits behind a cover. The chip itself is good to 20 % (data sheet).</summary>
    public double Factor { get; init; } = 1;
}

/// <summary>How readings are carried to 25 °C.</summary>
public enum Compensation
{
    /// <summary>ISO 7888 natural-water function.</summary>
    NaturalWater,

    /// <summary>A straight line with a coefficient.</summary>
    Linear,

    /// <summary>Sea water and salt mixes made like it, by practical salinity (PSS-78).</summary>
    SeaWater,
}

/// <summary>One conductivity front end: alternating excitation, a transimpedance amplifier, a rectifier and one ADS1115 channel.</summary>
public sealed record ConductivityInput
{
    /// <summary>I2C address, 72 to 75 (0x48 to 0x4B).</summary>
    public int AdcAddress { get; init; } = 72;

    /// <summary>Single-ended input, 0 to 3.</summary>
    public required int AdcInput { get; init; }

    /// <summary>Full scale, V: 6.144, 4.096, 2.048, 1.024, 0.512 or 0.256.</summary>
    public double FullScaleVolts { get; init; } = 2.048;

    /// <summary>Amplitude across the cell, V.</summary>
    public double ExcitationVolts { get; init; } = 1.0;

    /// <summary>Transimpedance, ohm.</summary>
    public double FeedbackOhms { get; init; } = 2000;

    /// <summary>Cell constant, 1/cm; as calibrated.</summary>
    public required double CellConstantPerCm { get; init; }

    /// <summary>
    /// What is added at the water's own temperature, µS/cm; as two standards tell it. In µS/cm and not in counts, because that is what the line through two standards gives, and it stays
    /// what it is when the converter's range changes.
    /// </summary>
    public double OffsetMicrosiemensPerCm { get; init; }

    /// <summary>How readings are carried to 25 °C.</summary>
    public Compensation Compensation { get; init; }

    /// <summary>Coefficient of the straight line, 1/K.</summary>
    public double AlphaPerKelvin { get; init; } = 0.0191;
}
