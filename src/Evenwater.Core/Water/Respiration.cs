using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// What resting fish breathe, and how long the oxygen of a vessel lasts that nobody aerates. Clarke and Johnston 1999 (J. Anim. Ecol. 68:893, abstract): a fish of
/// 50 g uses exp(15.7 - 5020 / T) mmol/h, and consumption goes as mass to the power 0.80. The paper's two equations differ by a factor of two and more, and stress
/// doubles or trebles it (from memory): every time told here is a range.
/// </summary>
public static class Respiration
{
    /// <summary>Known within this factor, either way.</summary>
    private const double DoubtFactor = 2;

    private const double ReferenceGrams = 50;
    private const double MassExponent = 0.80;

    /// <summary>Molar mass of O2, mg/mmol.</summary>
    private const double OxygenMilligramsPerMillimole = 31.998;

    /// <summary>A resting fish's use, mg O2 for each gram and hour; half to twice as much.</summary>
    /// <param name="grams">One animal, 0.01 to 10 000 g.</param>
    /// <param name="celsius">0 to 35 °C (the paper's fish lived at 0 to 30 °C or so; from memory).</param>
    public static Doubtful FishMilligramsPerGramHour(double grams, double celsius)
    {
        var reference = OxygenMilligramsPerMillimole / ReferenceGrams * Math.Exp(15.7 - (5020 / (Bounds.Check(celsius, 0, 35, "°C") + 273.15)));
        return Doubtful.ByFactor(reference * Math.Pow(Bounds.Check(grams, 0.01, 10_000, "g") / ReferenceGrams, MassExponent - 1), DoubtFactor);
    }

    /// <summary>
    /// Hours until the oxygen has fallen to a floor, with none coming from the air, which errs on the short side: V (C0 - Cmin) / (M r), half to twice as long.
    /// </summary>
    /// <param name="litres">Of water, above 0 to 1 000 000 L.</param>
    /// <param name="startMilligramsPerLitre">Oxygen now, 0 to 30 mg/L.</param>
    /// <param name="leastMilligramsPerLitre">The floor, 0 to what there is now.</param>
    /// <param name="grams">All animals together, above 0 to 1 000 000 g.</param>
    /// <param name="milligramsPerGramHour">Their use, above 0 to 20 mg/(g h).</param>
    public static Doubtful HoursUnaerated(double litres, double startMilligramsPerLitre, double leastMilligramsPerLitre, double grams, double milligramsPerGramHour)
    {
        var start = Bounds.Check(startMilligramsPerLitre, 0, 30, "mg/L");
        var stock = Bounds.Check(litres, double.Epsilon, Volume.MaxLitres, "L") * (start - Bounds.Check(leastMilligramsPerLitre, 0, start, "mg/L"));
        var use = Bounds.Check(grams, double.Epsilon, 1_000_000, "g") * Bounds.Check(milligramsPerGramHour, double.Epsilon, 20, "mg/(g h)");
        return Doubtful.ByFactor(stock / use, DoubtFactor);
    }
}
