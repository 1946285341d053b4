using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Core.Calibration;

/// <summary>
/// The constant of a conductivity cell by one or two standards, each at the temperature it has (K = conductivity of the standard / conductance of the cell, ISO 7888, from memory); never by way of 25 °C,
/// where the probe's compensation for natural water would be 0.9 % off in potassium chloride of 20 °C. What can not be is refused, with the liquid it would fit if there is one.
/// </summary>
public static class CellCalibration
{
    /// <summary>A cell may differ from its nominal constant by this. Common practice, no source: makers tell 1 to 20 %, and scale or a bubble makes it more.</summary>
    public const double MostOffNominal = 0.3;

    /// <summary>Two standards may tell cell constants this far apart, as a ratio's logarithm; more is a wrong or spoilt liquid, or a fouled cell. Common practice, no source.</summary>
    public const double MostApart = 0.1;

    /// <summary>The higher of two standards has at least this many times the conductivity of the lower, or the offset is mere scatter. Common practice, no source.</summary>
    public const double LeastRatio = 2;

    /// <summary>A constant known worse than this, as a fraction, is not taken: no calibration then tells more than the nominal constant. Common practice, no source.</summary>
    public const double WorstRelativeSd = 0.05;

    private static readonly double[] Nominals = [0.1, 1, 10];

    /// <summary>What a cell of this constant was sold as: the nearest of 0.1, 1 and 10 1/cm.</summary>
    /// <param name="perCm">Above 0.</param>
    public static double Nominal(double perCm) => Nominals.MinBy(nominal => Math.Abs(Math.Log(perCm / nominal)));

    /// <summary>By one standard.</summary>
    /// <param name="nominalPerCm">What the probe was bought as: 0.1, 1 or 10 1/cm.</param>
    /// <param name="reading">The probe in the standard, steady.</param>
    public static Outcome<CellConstant> ByOne(double nominalPerCm, StandardReading reading)
        => Wrong(nominalPerCm, reading, "standard") is { } wrong
            ? wrong
            : new CellConstant(reading.CellConstantPerCm, reading.CellConstantPerCm * reading.RelativeSd);

    /// <summary>
    /// By two standards. When the offset between them is no more than twice its own spread it is left out, and the constants are averaged by their variances. The standards' spreads are taken as independent; one thermometer's
    /// error in both cups moves both constants alike, and the offset hardly.
    /// </summary>
    /// <param name="nominalPerCm">What the probe was bought as: 0.1, 1 or 10 1/cm.</param>
    /// <param name="one">The probe in one standard, steady.</param>
    /// <param name="other">The probe in the other, rinsed between.</param>
    public static Outcome<CellConstant> ByTwo(double nominalPerCm, StandardReading one, StandardReading other)
    {
        if (Wrong(nominalPerCm, one, "standards.one") is { } wrongOne) return wrongOne;
        if (Wrong(nominalPerCm, other, "standards.other") is { } wrongOther) return wrongOther;
        var (low, high) = one.StandardMicrosiemensPerCm <= other.StandardMicrosiemensPerCm ? (one, other) : (other, one);
        var ratio = high.StandardMicrosiemensPerCm / low.StandardMicrosiemensPerCm;
        if (ratio < LeastRatio)
        {
            return new Problem("standards", $"{Findings.Text(low.StandardMicrosiemensPerCm)} and {Findings.Text(high.StandardMicrosiemensPerCm)} µS/cm", $"one at least {LeastRatio:0} times the other",
                "Take two that are further apart, or calibrate by one alone.");
        }

        var (lowK, highK) = (low.CellConstantPerCm, high.CellConstantPerCm);
        if (Math.Abs(Math.Log(highK / lowK)) > MostApart)
        {
            return new Problem("standards", $"cell constants {lowK:0.000} and {highK:0.000} 1/cm", $"within {MostApart * 100:0} % of each other",
                "Fresh portions of both, rinse between, no bubble in the cell; clean the cell. One of the two is not what its label says, or the cell is fouled. The former calibration stays.");
        }

        var line = Line(low, high);
        return IsPlausible(nominalPerCm, line.PerCm)
            ? line
            : new Problem("standards", $"a line of {line.PerCm:0.000} 1/cm, offset {line.OffsetMicrosiemensPerCm:0} µS/cm", Plausible(nominalPerCm), // two that are only twice apart throw the line further off than each alone
                "Fresh portions of both, rinse between; take two that are further apart, or calibrate by one alone. The former calibration stays.");
    }

    private static CellConstant Line(StandardReading low, StandardReading high)
    {
        var (lowG, highG) = (low.ConductanceMicrosiemens, high.ConductanceMicrosiemens);
        var (lowSd, highSd) = (low.StandardMicrosiemensPerCm * low.RelativeSd, high.StandardMicrosiemensPerCm * high.RelativeSd);
        var apart = highG - lowG;
        var perCm = (high.StandardMicrosiemensPerCm - low.StandardMicrosiemensPerCm) / apart;
        var offset = low.StandardMicrosiemensPerCm - (perCm * lowG);
        var offsetSd = Length(lowSd * highG, highSd * lowG) / apart;
        if (Math.Abs(offset) > 2 * offsetSd)
        {
            return new CellConstant(perCm, Length(lowSd, highSd) / apart) { OffsetMicrosiemensPerCm = offset, OffsetSdMicrosiemensPerCm = offsetSd };
        }

        // What the same thermometer errs in both cups moves both constants alike, and no mean takes it out.
        var (lowWeight, highWeight) = (Weight(low), Weight(high));
        var common = Math.Min(low.TemperatureRelativeSd, high.TemperatureRelativeSd);
        var mean = ((lowWeight * low.CellConstantPerCm) + (highWeight * high.CellConstantPerCm)) / (lowWeight + highWeight);
        return new CellConstant(mean, Length(Length(lowWeight * Own(low), highWeight * Own(high)) / (lowWeight + highWeight), mean * common));

        double Own(StandardReading reading) => reading.CellConstantPerCm * Math.Sqrt(Math.Max(0, (reading.RelativeSd * reading.RelativeSd) - (common * common)));
    }

    private static double Weight(StandardReading reading) => 1 / Math.Pow(reading.CellConstantPerCm * reading.RelativeSd, 2);

    private static double Length(double a, double b) => Math.Sqrt((a * a) + (b * b));

    private static Problem? Wrong(double nominalPerCm, StandardReading reading, string key)
    {
        if (!Nominals.Contains(nominalPerCm))
        {
            return new Problem("nominalPerCm", Findings.Text(nominalPerCm), "0.1, 1 or 10 1/cm", "Give the constant that the probe was sold with.");
        }

        if (!StandardConductivity.IsInRange(reading.Standard, reading.Celsius))
        {
            return new Problem($"{key}.celsius", Findings.Text(reading.Celsius), "the standard's table: 0 to 35 °C, sea water -2 to 35 °C", "Bring the cup to the room's temperature, and see that its thermometer answers.");
        }

        if (!(reading.ConductanceMicrosiemens > 0 && double.IsFinite(reading.ConductanceMicrosiemens)))
        {
            return new Problem($"{key}.conductanceMicrosiemens", Findings.Text(reading.ConductanceMicrosiemens), "above 0 µS", "See that the cell is under water and connected.");
        }

        var perCm = reading.CellConstantPerCm;
        if (!IsPlausible(nominalPerCm, perCm))
        {
            return new Problem($"{key}.cellConstantPerCm", Findings.Text(perCm), Plausible(nominalPerCm), Advice(nominalPerCm, reading));
        }

        return reading.RelativeSd <= WorstRelativeSd
            ? null
            : new Problem($"{key}.relativeSd", Findings.Text(reading.RelativeSd), $"0 to {Findings.Text(WorstRelativeSd)}", "Wait until probe and thermometer are steady; a degree is 2 %. The former calibration stays.");
    }

    private static string Advice(double nominalPerCm, StandardReading reading)
    {
        var fits = Enum.GetValues<ConductivityStandard>().Where(s => s != reading.Standard && StandardConductivity.IsInRange(s, reading.Celsius)
            && IsPlausible(nominalPerCm, StandardConductivity.MicrosiemensPerCm(s, reading.Celsius) / reading.ConductanceMicrosiemens)).ToArray();
        return (fits.Length > 0 ? $"It reads like {string.Join(" or ", fits.Select(StandardNames.Of))}: see which liquid is in the cup. " : "See which liquid is in the cup, and that no air is in the cell. ")
            + "The former calibration stays.";
    }

    private static string Plausible(double nominalPerCm) => $"{Findings.Text(nominalPerCm * (1 - MostOffNominal))} to {Findings.Text(nominalPerCm * (1 + MostOffNominal))} 1/cm";

    internal static bool IsPlausible(double nominalPerCm, double perCm) => perCm >= nominalPerCm * (1 - MostOffNominal) && perCm <= nominalPerCm * (1 + MostOffNominal);
}
