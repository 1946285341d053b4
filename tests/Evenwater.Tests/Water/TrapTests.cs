using Evenwater.Core.Water;
using Evenwater.Water;

namespace Evenwater.Tests.Water;

/// <summary>Mistakes that are about in books, programs and manuals: each gives the wrong value that it is known for, and the published check misses it.</summary>
public sealed class TrapTests
{
    /// <summary>What is wrong; the check; what the mistake gives; what it is known to give.</summary>
    public static TheoryData<string, string, string, double, double> Traps => new()
    {
        { "Kell's denominator with two digits changed over", "FreshWater.KilogramsPerCubicMetre", "25@68", Kell(25, 16.897850e-3), 996.73 },
        { "Emerson's constant as one program's help prints it", "UnionisedAmmonia.Fraction", "8 25", Emerson(8, 25, 2727.92), 0.0545 },
        { "a table that is called ISO 7888 and reads otherwise", "NaturalWater.FactorTo25", "0", 0.6645, 0.6645 },
        { "the same table at 25 °C", "NaturalWater.FactorTo25", "25", 1.5156, 1.5156 },
        { "a manual's 1413 solution, 5 °C printed beside 0 °C", "StandardConductivity.MicrosiemensPerCm", "Sold1413 0", 896, 896 },
        { "a manual's 1413 solution at 35 °C", "StandardConductivity.MicrosiemensPerCm", "Sold1413 35", 1667, 1667 },
        { "potassium chloride taken for natural water", "StandardConductivity.MicrosiemensPerCm", "Sold1413 20", 1413 / NaturalWater.FactorTo25(20), 1266.1 },
        { "today's temperature taken for that of 1968, conductivity", "PracticalSalinity.MillisiemensPerCm", "35 15", PracticalSalinity.MillisiemensPerCm(35, 15 / 1.00024), 42.914 },
        { "today's temperature taken for that of 1968, density", "SeaDensity.KilogramsPerCubicMetre", "35 30@68", SeaDensity.KilogramsPerCubicMetre(35, 30), 1021.7263 },
        { "dissolved solids of one hard water, dried, by a factor for its ions", "DissolvedSolids.FromConductivity.MilligramsPerLitre.Middle", "1000 0.64", 730, 730 },
        { "pH averaged", "MixedPh.Of", "6.5 2.0 8.2 2.8 0.5 25", (6.5 + 8.2) / 2, 7.35 },
        { "hydrogen ions averaged", "MixedPh.Of", "6.5 2.0 8.2 2.8 0.5 25", -Math.Log10((Math.Pow(10, -6.5) + Math.Pow(10, -8.2)) / 2), 6.79 },
    };

    [Theory]
    [MemberData(nameof(Traps))]
    public void A_known_mistake_is_caught_by_a_published_value(string mistake, string function, string inputs, double wrong, double known)
    {
        Assert.True(Math.Abs(wrong - known) <= 0.001 * known, $"{mistake}: {wrong}, known for {known}");
        var checks = WaterCheck.All.Where(check => check.Function == function && check.Inputs == inputs).ToList();
        Assert.Contains(checks, check => check.Run().Met);
        Assert.Contains(checks, check => !check.Judge(wrong).Met);
    }

    [Fact] // PHREEQC 3: one hard tap water, 0.54 dried and 0.73 by its ions; a third apart, and one convention's doubt holds both
    public void The_doubt_of_dissolved_solids_holds_both_ways_of_counting()
    {
        var told = DissolvedSolids.FromConductivity(1000).MilligramsPerLitre;
        Assert.InRange(540, told.Low, told.High);
        Assert.InRange(730, told.Low, told.High);
        Assert.Contains("convention", DissolvedSolids.FromConductivity(1000).ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain(typeof(DissolvedSolids).GetMethods(), method => method.Name is "op_Subtraction" or "op_LessThan" or "CompareTo");
    }

    private static double Kell(double t, double denominator)
        => (999.83952 + (16.945176 * t) - (7.9870401e-3 * t * t) - (46.170461e-6 * Math.Pow(t, 3)) + (105.56302e-9 * Math.Pow(t, 4)) - (280.54253e-12 * Math.Pow(t, 5)))
            / (1 + (denominator * t));

    private static double Emerson(double ph, double celsius, double constant) => 1 / (1 + Math.Pow(10, 0.09018 + (constant / (celsius + 273.15)) - ph));
}
