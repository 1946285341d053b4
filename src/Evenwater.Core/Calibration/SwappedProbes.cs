using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Core.Calibration;

/// <summary>Whether it is the other probe that stands in the standard: wires or labels are swapped, and a calibration would be given to the wrong cell.</summary>
public static class SwappedProbes
{
    /// <summary>A probe that was moved from its water into a standard reads this much else, as a ratio's logarithm; two waters that are nearer tell nothing. Common practice, no source.</summary>
    private const double Moved = 0.05;

    /// <summary>One that was not moved reads the same within this.</summary>
    private const double Stayed = 0.02;

    /// <summary>The refusal; null when nothing speaks for it.</summary>
    /// <param name="probe">Which is said to be in the cup.</param>
    /// <param name="standard">What is in the cup.</param>
    /// <param name="asked">That probe, µS before it was moved and now, with its thermometer's °C and its nominal constant.</param>
    /// <param name="other">The other, which was not moved.</param>
    public static Problem? Refusal(string probe, ConductivityStandard standard, CellSeen asked, CellSeen other)
    {
        var fits = Fits(standard, other);
        var askedMoved = asked.BeforeMicrosiemens is not null && other.BeforeMicrosiemens is not null && Change(asked) > Moved && Change(other) < Stayed; // into another liquid than was said: a tank like the standard says nothing then
        var otherOnly = fits && !Fits(standard, asked) && !askedMoved;
        var otherMoved = fits && Change(other) > Moved && Change(asked) < Stayed;
        return otherOnly || otherMoved
            ? new Problem(probe, $"conducts {Findings.Text(asked.NowMicrosiemens)} µS, and the other probe {Findings.Text(other.NowMicrosiemens)} µS", $"{StandardNames.Of(standard)} seen by this probe",
                "It is the other probe that reads like the standard: see which one is in the cup, and how both are wired (adcInput). The former calibration stays.")
            : null;
    }

    private static double Change(CellSeen cell)
        => cell is { BeforeMicrosiemens: > 0 and { } before, NowMicrosiemens: > 0 } ? Math.Abs(Math.Log(cell.NowMicrosiemens / before)) : 0;

    private static bool Fits(ConductivityStandard standard, CellSeen cell)
        => cell.NowMicrosiemens > 0 && StandardConductivity.IsInRange(standard, cell.Celsius)
            && CellCalibration.IsPlausible(cell.NominalPerCm, StandardConductivity.MicrosiemensPerCm(standard, cell.Celsius) / cell.NowMicrosiemens);
}

/// <summary>One cell as it was seen before something was moved, and after.</summary>
/// <param name="NominalPerCm">0.1, 1 or 10 1/cm.</param>
/// <param name="BeforeMicrosiemens">Its conductance before; null when it was not looked at.</param>
/// <param name="NowMicrosiemens">Its conductance now.</param>
/// <param name="Celsius">The cup's temperature, °C.</param>
public readonly record struct CellSeen(double NominalPerCm, double? BeforeMicrosiemens, double NowMicrosiemens, double Celsius);
