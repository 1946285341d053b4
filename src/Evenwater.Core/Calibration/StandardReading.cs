using Evenwater.Core.Quantities;
using Evenwater.Core.Water;

namespace Evenwater.Core.Calibration;

/// <summary>One conductivity probe standing in one standard, with a thermometer beside it, once both are steady.</summary>
public sealed record StandardReading
{
    /// <summary>Over this much the standard's temperature coefficient is taken, °C either way.</summary>
    private const double StepCelsius = 0.5;

    /// <summary>What is in the cup, as its label says.</summary>
    public required ConductivityStandard Standard { get; init; }

    /// <summary>1-sigma of the standard, as a fraction: half of the tolerance on its label; 0.005 for the usual ±1 % (common practice, no source).</summary>
    public double StandardRelativeSd { get; init; } = 0.005;

    /// <summary>Temperature in the cup, °C.</summary>
    public required double Celsius { get; init; }

    /// <summary>1-sigma of that, °C; 0.25 for a thermometer good to ±0.5 °C (DS18B20-type data sheet) that was not calibrated.</summary>
    public double CelsiusSd { get; init; } = 0.25;

    /// <summary>What the probe conducts, µS: no cell constant in it.</summary>
    public required double ConductanceMicrosiemens { get; init; }

    /// <summary>1-sigma of that, µS: the scatter of its mean.</summary>
    public required double ConductanceSdMicrosiemens { get; init; }

    /// <summary>What the standard has at that temperature, µS/cm; the temperature must lie in the standard's table.</summary>
    public double StandardMicrosiemensPerCm => StandardConductivity.MicrosiemensPerCm(Standard, Celsius);

    /// <summary>Cell constant by this reading alone, 1/cm: conductivity over conductance at the same temperature.</summary>
    public double CellConstantPerCm => StandardMicrosiemensPerCm / ConductanceMicrosiemens;

    /// <summary>1-sigma of it, as a fraction: the standard's, the reading's and the temperature's parts, independent of each other. A degree is 2 %.</summary>
    public double RelativeSd => Math.Sqrt(Square(Bounds.Check(StandardRelativeSd, 0, double.PositiveInfinity, "(a fraction)"))
        + Square(Bounds.Check(ConductanceSdMicrosiemens, 0, double.PositiveInfinity, "µS") / ConductanceMicrosiemens)
        + Square(TemperatureRelativeSd));

    /// <summary>The temperature's part of that alone.</summary>
    internal double TemperatureRelativeSd => PerKelvin * Bounds.Check(CelsiusSd, 0, double.PositiveInfinity, "°C");

    /// <summary>By which fraction the standard rises for each degree at this temperature; within the table's ends.</summary>
    private double PerKelvin
    {
        get
        {
            var (low, high) = (Celsius - StepCelsius, Celsius + StepCelsius);
            if (!StandardConductivity.IsInRange(Standard, low)) low = Celsius;
            if (!StandardConductivity.IsInRange(Standard, high)) high = Celsius;
            return (StandardConductivity.MicrosiemensPerCm(Standard, high) - StandardConductivity.MicrosiemensPerCm(Standard, low)) / (high - low) / StandardMicrosiemensPerCm;
        }
    }

    private static double Square(double value) => value * value;
}
