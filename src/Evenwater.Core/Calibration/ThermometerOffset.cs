using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>How much too high a thermometer reads; to be taken off its readings.</summary>
/// <param name="Celsius">Reading less truth, °C.</param>
/// <param name="Sd">1-sigma of it, °C, at the temperature where it was found.</param>
public sealed record ThermometerOffset(double Celsius, double Sd)
{
    /// <summary>Furthest off that is taken, °C: twice the ±0.5 °C of a DS18B20-type data sheet. More is a broken or wrong device, or not the bath that was meant.</summary>
    public const double MostCelsius = 1;

    /// <summary>What the other thermometer may read, °C: from brine with ice to the hottest that a tank's thermometer is good for.</summary>
    public const double LeastReferenceCelsius = -5, MostReferenceCelsius = 60;

    /// <summary>A reading known worse than this, °C, is no calibration: the data sheet's ±0.5 °C as 1-sigma. Derivation.</summary>
    public const double WorstSd = 0.25;

    /// <summary>
    /// 1-sigma of a kitchen's ice bath, °C: ice of tap water with 10 mmol/L of ions melts 0.02 °C below 0 (1.86 K kg/mol, CRC Handbook, from memory). With distilled water and care it is 0.002 °C (ASTM E563, from memory).
    /// </summary>
    public const double IceBathSd = 0.02;

    /// <summary>
    /// In an ice bath, 0.00 °C: crushed ice filled up with cold water, stirred, the thermometer off the glass. What is found at 0 °C need not hold at 25 °C to better than
    /// about 0.1 °C (typical error curves of a DS18B20-type data sheet, from memory): beside a good thermometer in the tank's own water is better.
    /// </summary>
    /// <param name="meanCelsius">Mean of steady readings, °C.</param>
    /// <param name="meanSd">1-sigma of that mean, the device's step of 1/16 °C in it, °C.</param>
    public static Outcome<ThermometerOffset> InIce(double meanCelsius, double meanSd) => Found(meanCelsius, meanSd, 0, IceBathSd, "More ice than water, stir, and wait until it is steady.");

    /// <summary>Beside another thermometer in the same stirred water.</summary>
    /// <param name="meanCelsius">Mean of steady readings, °C.</param>
    /// <param name="meanSd">1-sigma of that mean, the device's step of 1/16 °C in it, °C.</param>
    /// <param name="referenceCelsius">What the other reads, corrected by its own certificate if it has one, -5 to 60 °C.</param>
    /// <param name="referenceSd">1-sigma of that, °C.</param>
    public static Outcome<ThermometerOffset> Beside(double meanCelsius, double meanSd, double referenceCelsius, double referenceSd) =>
        referenceCelsius is >= LeastReferenceCelsius and <= MostReferenceCelsius
            ? Found(meanCelsius, meanSd, referenceCelsius, referenceSd, "Both in the same stirred water, side by side, until both are steady.")
            : new Problem("referenceCelsius", Findings.Text(referenceCelsius), $"{LeastReferenceCelsius} to {MostReferenceCelsius} °C", "Give what the other thermometer reads, in °C.");

    private static Outcome<ThermometerOffset> Found(double meanCelsius, double meanSd, double truthCelsius, double truthSd, string advice)
    {
        var offset = meanCelsius - truthCelsius;
        if (!(Math.Abs(offset) <= MostCelsius))
        {
            return new Problem("offsetCelsius", Findings.Text(offset), $"-{MostCelsius:0} to {MostCelsius:0} °C", $"{advice} If it stays so the thermometer is broken: another one. The former offset stays.");
        }

        var sd = Math.Sqrt(Math.Pow(Bounds.Check(meanSd, 0, double.PositiveInfinity, "°C"), 2) + Math.Pow(Bounds.Check(truthSd, 0, double.PositiveInfinity, "°C"), 2));
        return sd <= WorstSd
            ? new ThermometerOffset(offset, sd)
            : new Problem("offsetSd", Findings.Text(sd), $"0 to {Findings.Text(WorstSd)} °C", $"{advice} The former offset stays.");
    }
}
