using Evenwater.Core.Stations;

namespace Evenwater.Core.Standing;

/// <summary>Symbols, units and ranges of what is measured by hand. Ranges are sanity limits, wide on purpose.</summary>
public static class Substances
{
    private static readonly (Substance Of, string Symbol, string Unit, double Least, double Most)[] Rows =
    [
        (Substance.Nitrate, "NO3", "mg/L", 0, 1000),
        (Substance.Nitrite, "NO2", "mg/L", 0, 100),
        (Substance.TotalAmmonia, "TAN", "mg/L", 0, 200),
        (Substance.Phosphate, "PO4", "mg/L", 0, 100),
        (Substance.TotalHardness, "GH", "°dH", 0, 100),
        (Substance.CarbonateHardness, "KH", "°dH", 0, 50),
        (Substance.Iron, "Fe", "mg/L", 0, 50),
        (Substance.CarbonDioxide, "CO2", "mg/L", 0, 500),
        (Substance.Ph, "pH", "", 3, 11),
    ];

    /// <summary>The symbol, such as NO3.</summary>
    public static string Symbol(Substance of) => Row(of).Symbol;

    /// <summary>The unit; empty for pH.</summary>
    public static string Unit(Substance of) => Row(of).Unit;

    /// <summary>The substance of a symbol, letter case aside; null for none of them.</summary>
    public static Substance? Named(string? symbol)
    {
        var row = Array.FindIndex(Rows, row => string.Equals(row.Symbol, symbol, StringComparison.OrdinalIgnoreCase));
        return row < 0 ? null : Rows[row].Of;
    }

    /// <summary>Every symbol, in order.</summary>
    public static IEnumerable<string> Symbols => Rows.Select(row => row.Symbol);

    /// <summary>What is wrong with a test; empty when nothing is.</summary>
    public static IReadOnlyList<Problem> Check(ManualTest test)
    {
        ArgumentNullException.ThrowIfNull(test);
        var (_, symbol, unit, least, most) = Row(test.Of);
        var findings = new Findings();
        findings.Within(symbol, test.Value, least, most, unit.Length > 0 ? unit : "(pH)", "Look at the kit's scale again; it must be in this unit.");
        findings.Require(test.Step > 0 && test.Step <= most - least, "step", test.Step, $"more than 0 to {Findings.Text(most - least)} {unit}".TrimEnd(),
            "Give how far apart two neighbouring colours or drops of the kit are.");
        findings.Require(!test.Below || test.Value > least, symbol, test.Value, $"more than {Findings.Text(least)} with 'below'", "Give the least that the kit shows.");
        return findings.Problems;
    }

    private static (Substance Of, string Symbol, string Unit, double Least, double Most) Row(Substance of) => Rows[(int)of];
}
