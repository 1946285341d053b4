using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Core.Calibration;

/// <summary>Raw device integers to values in the channels' units.</summary>
public static class Calibrate
{
    /// <summary>The ADC's full scale is this many counts (ADS1115 data sheet: LSB = FSR / 32768).</summary>
    private const double CountsAtFullScale = 32768;

    /// <summary>
    /// Fewer counts than this are an unplugged or dry cell, whatever conductivity its constant and its offset make of them: at a sea-water front end they are tens of µS/cm. Twice what an unplugged
    /// one may read (hardware/README.md, "Build", 10).
    /// </summary>
    public const int FewestCounts = 10;

    /// <summary>The thermometer's integer is 1/16 °C (DS18B20-type data sheet, 12 bit).</summary>
    private const double CelsiusPerCount = 1.0 / 16;

    /// <summary>The light sensor's counts for one lux (BH1750 data sheet, H-resolution mode).</summary>
    private const double CountsPerLux = 1.2;

    /// <summary>The readings of all channels. A conductivity without a good temperature has no value at 25 °C.</summary>
    /// <param name="raw">The latest raw samples.</param>
    /// <param name="sensors">How the probes are wired and calibrated.</param>
    public static Readings Apply(in RawSamples raw, Sensors sensors)
    {
        var readings = Readings.None();
        readings[Channel.VesselTemperature] = Celsius(raw[Channel.VesselTemperature], sensors.VesselThermometerOffsetCelsius);
        readings[Channel.TankTemperature] = Celsius(raw[Channel.TankTemperature], sensors.TankThermometerOffsetCelsius);
        readings[Channel.VesselConductivity] =
            At25(raw[Channel.VesselConductivity], sensors.VesselConductivity, readings[Channel.VesselTemperature]);
        readings[Channel.TankConductivity] =
            At25(raw[Channel.TankConductivity], sensors.TankConductivity, readings[Channel.TankTemperature]);
        readings[Channel.FloatLow] = Counted(raw[Channel.FloatLow]);
        readings[Channel.FloatHigh] = Counted(raw[Channel.FloatHigh]);
        readings[Channel.Leak] = Counted(raw[Channel.Leak]);
        readings[Channel.Drops] = Counted(raw[Channel.Drops]);
        readings[Channel.Mass] = Kilograms(raw[Channel.Mass], sensors.LoadCell);
        readings[Channel.Level] = Millimetres(raw[Channel.Level], sensors.Level);
        readings[Channel.TankLight] = Lux(raw[Channel.TankLight], sensors.Light);
        return readings;
    }

    /// <summary>What the cell conducts, µS: volts / (excitation × feedback); no cell constant in it.</summary>
    public static double ConductanceMicrosiemens(int counts, ConductivityInput input)
    {
        var volts = counts / CountsAtFullScale * input.FullScaleVolts;
        return volts / (input.ExcitationVolts * input.FeedbackOhms) * 1e6;
    }

    /// <summary>Conductivity at the water's own temperature, µS/cm: offset + conductance × cell constant.</summary>
    public static double MicrosiemensPerCm(int counts, ConductivityInput input)
        => (ConductanceMicrosiemens(counts, input) * input.CellConstantPerCm) + input.OffsetMicrosiemensPerCm;

    /// <summary>The most that a front end reads in water of a temperature, µS/cm at 25 °C; null where that lies beyond the scale of sea water, which then ends first.</summary>
    /// <param name="input">The front end.</param>
    /// <param name="celsius">The water's own temperature, -2 to 45 °C.</param>
    public static double? MostAt25(ConductivityInput input, double celsius)
    {
        var atTemperature = MicrosiemensPerCm(short.MaxValue - 1, input);
        return input.Compensation == Compensation.SeaWater && !SeaWaterCompensation.IsInRange(atTemperature, celsius) ? null : To25(atTemperature, celsius, input);
    }

    /// <summary>One count of the converter, µS/cm at the water's own temperature.</summary>
    public static double StepMicrosiemensPerCm(ConductivityInput input) => ConductanceMicrosiemens(1, input) * input.CellConstantPerCm;

    /// <summary>What a thermometer reads of itself, °C, nothing taken off.</summary>
    public static double UncorrectedCelsius(int counts) => counts * CelsiusPerCount;

    /// <summary>What a level sensor gives, V.</summary>
    public static double Volts(int counts, LevelInput level) => counts / CountsAtFullScale * level.FullScaleVolts;

    /// <summary>What no water can be, such as the 85 °C of a thermometer that has not measured, is no temperature: neither here nor in what is kept, drawn and looked back at.</summary>
    private static Reading Celsius(in RawSample sample, double offset)
    {
        if (sample.Reason != Reason.None) return Reading.Missing(sample.Reason, sample.TakenAt);
        var celsius = UncorrectedCelsius(sample.Code) - offset;
        return Screening.Screen.IsWaters(celsius) ? Reading.Of(celsius, sample.TakenAt) : Reading.Missing(Reason.OutOfRange, sample.TakenAt);
    }

    private static Reading Counted(in RawSample sample) => sample.Reason == Reason.None
        ? Reading.Of(sample.Code, sample.TakenAt)
        : Reading.Missing(sample.Reason, sample.TakenAt);

    /// <summary>Of a sensor that gave nothing, or that nobody calibrated.</summary>
    private static Reading Uncalibrated(in RawSample sample) => Reading.Missing(sample.Reason != Reason.None ? sample.Reason : Reason.Uncalibrated, sample.TakenAt);

    private static Reading Kilograms(in RawSample sample, LoadCellInput? cell) => sample.Reason != Reason.None || cell is null
        ? Uncalibrated(sample)
        : Reading.Of((sample.Code - cell.ZeroCounts) / cell.CountsPerKilogram, sample.TakenAt) with { Code = sample.Code };

    private static Reading Millimetres(in RawSample sample, LevelInput? level)
    {
        if (sample.Reason != Reason.None || level is null) return Uncalibrated(sample);
        var volts = Volts(sample.Code, level);
        return volts < level.BrokenBelowVolts
            ? Reading.Missing(Reason.OutOfRange, sample.TakenAt)
            : Reading.Of((volts - level.ZeroVolts) * level.MillimetresPerVolt, sample.TakenAt) with { Code = sample.Code };
    }

    private static Reading Lux(in RawSample sample, LightInput? light) => sample.Reason != Reason.None || light is null
        ? Uncalibrated(sample)
        : Reading.Of(sample.Code / CountsPerLux * light.Factor, sample.TakenAt) with { Code = sample.Code };

    private static Reading At25(in RawSample sample, ConductivityInput? input, in Reading temperature)
    {
        if (sample.Reason != Reason.None || input is null) return Uncalibrated(sample);
        if (sample.Code < FewestCounts)
        {
            return Reading.Missing(Reason.OutOfRange, sample.TakenAt) with { Code = sample.Code };
        }

        if (!temperature.TryGet(out var celsius))
        {
            return Reading.Missing(temperature.Reason == Reason.NotFitted ? Reason.Uncalibrated : temperature.Reason, sample.TakenAt);
        }

        var atTemperature = MicrosiemensPerCm(sample.Code, input);
        return input.Compensation == Compensation.SeaWater && !SeaWaterCompensation.IsInRange(atTemperature, celsius)
            ? Reading.Missing(Reason.OutOfRange, sample.TakenAt) with { Code = sample.Code }
            : Reading.Of(To25(atTemperature, celsius, input), sample.TakenAt) with { Code = sample.Code };
    }

    private static double To25(double atTemperature, double celsius, ConductivityInput input) => input.Compensation switch
    {
        Compensation.Linear => LinearCompensation.To25(atTemperature, celsius, input.AlphaPerKelvin),
        Compensation.SeaWater => SeaWaterCompensation.To25(atTemperature, celsius),
        _ => atTemperature * NaturalWater.FactorTo25(celsius),
    };
}
