namespace Evenwater.Core.Water;

/// <summary>A solution of known conductivity, to calibrate a probe with.</summary>
public enum ConductivityStandard
{
    /// <summary>0.01 mol KCl per kg of water: 1409.3 µS/cm at 25 °C with the air's carbon dioxide.</summary>
    HundredthMolal,

    /// <summary>0.1 mol/kg: 12 825.7 µS/cm at 25 °C.</summary>
    TenthMolal,

    /// <summary>1 mol/kg: 108 621 µS/cm at 25 °C.</summary>
    OneMolal,

    /// <summary>The solution that is sold as 1413 µS/cm at 25 °C, 0.01 mol KCl in a litre.</summary>
    Sold1413,

    /// <summary>Sea water of practical salinity 35: 53.07 mS/cm at 25 °C.</summary>
    SeaWater35,

    /// <summary>The solution that is sold as 147 µS/cm at 25 °C, 0.001 mol KCl in a litre: for fresh water and cells of 0.1 1/cm. Open to the air it gains 0.7 %.</summary>
    Sold147,
}

/// <summary>
/// What a standard reads at the temperature it has: a probe is calibrated there, never at 25 °C by a factor for natural water, which is
/// 0.9 % off at 20 °C for potassium chloride. A temperature outside the standard's table is refused.
/// </summary>
public static class StandardConductivity
{
    private const double SoldMicrosiemensPerCm = 1413;
    private const double WeakSoldMicrosiemensPerCm = 147; // ISO 7888, 14.7 mS/m for 0.001 mol/L; from memory
    private const double SeaWaterSalinity = 35;
    private const double MicrosiemensInMilli = 1000;

    /// <summary>Whether the standard is known at a temperature: potassium chloride 0 to 35 °C, sea water -2 to 35 °C.</summary>
    public static bool IsInRange(ConductivityStandard standard, double celsius)
        => standard == ConductivityStandard.SeaWater35 ? PracticalSalinity.IsTemperatureInRange(celsius) : PotassiumChloride.IsInRange(celsius);

    /// <summary>
    /// Conductivity as a meter sees it, µS/cm: what carbon dioxide from the air adds is in it. Uncertainty of the table 0.04 %; of the solution that
    /// is sold, what its label says, usually 0.5 to 1 %. That one is 0.01 mol/kg scaled to 1413 at 25 °C; tables in meter manuals differ from it by up to
    /// 0.3 % at 10 to 30 °C, and some by more (one gives 896 for 0 °C, which is the value of 5 °C; one 1667 for 35 °C, 1.6 % too low).
    /// </summary>
    /// <param name="standard">The solution.</param>
    /// <param name="celsius">Its temperature, within <see cref="IsInRange"/>.</param>
    public static double MicrosiemensPerCm(ConductivityStandard standard, double celsius) => standard switch
    {
        ConductivityStandard.HundredthMolal => WithCarbonDioxide(0.01, celsius),
        ConductivityStandard.TenthMolal => WithCarbonDioxide(0.1, celsius),
        ConductivityStandard.OneMolal => WithCarbonDioxide(1, celsius),
        ConductivityStandard.Sold1413 => Sold(SoldMicrosiemensPerCm, celsius),
        ConductivityStandard.SeaWater35 => MicrosiemensInMilli * PracticalSalinity.MillisiemensPerCm(SeaWaterSalinity, celsius),
        ConductivityStandard.Sold147 => Sold(WeakSoldMicrosiemensPerCm, celsius),
        _ => throw new ArgumentOutOfRangeException(nameof(standard), standard, "no such standard"),
    };

    private static double WithCarbonDioxide(double molesPerKilogram, double celsius)
        => PotassiumChloride.MicrosiemensPerCm(molesPerKilogram, celsius) + PotassiumChloride.CarbonDioxideMicrosiemensPerCm(celsius);

    /// <summary>0.001 mol/L has 0.01's share at other temperatures within 0.1 % (Kohlrausch's 127.34 and 146.95 S cm²/mol at 18 and 25 °C against 122.4 and 141.3: 0.8666 and 0.8664; from memory).</summary>
    private static double Sold(double at25MicrosiemensPerCm, double celsius)
    {
        var air = PotassiumChloride.CarbonDioxideMicrosiemensPerCm(celsius);
        var saltAt25 = at25MicrosiemensPerCm - PotassiumChloride.CarbonDioxideMicrosiemensPerCm(25);
        return air + (saltAt25 * PotassiumChloride.MicrosiemensPerCm(0.01, celsius) / PotassiumChloride.MicrosiemensPerCm(0.01, 25));
    }
}
