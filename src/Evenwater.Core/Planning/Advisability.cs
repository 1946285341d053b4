using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;

namespace Evenwater.Core.Planning;

/// <summary>Which way the reasons lean.</summary>
public enum Lean
{
    /// <summary>A long drip has more for it than against it.</summary>
    ForIt,

    /// <summary>A short one, or a quick move, has.</summary>
    AgainstIt,

    /// <summary>The step is too large for one night: steps on several days.</summary>
    InSteps,

    /// <summary>The reasons known do not decide it.</summary>
    Either,
}

/// <summary>Whether a long drip is right for an arrival at all: reasons, not a verdict on animals that nothing here has seen.</summary>
/// <param name="Lean">Which way they lean.</param>
/// <param name="Sentence">That in a sentence.</param>
/// <param name="For">Reasons for a long drip.</param>
/// <param name="Against">Reasons against it.</param>
public sealed record Advice(Lean Lean, string Sentence, IReadOnlyList<string> For, IReadOnlyList<string> Against)
{
    /// <summary>How far to trust it.</summary>
    public const string Weakness = "The evidence is weak: a few species, mostly fry and shrimp; most limits by the hour are common practice without a source. What is published supports keeping the whole step small at least as much as going slowly.";
}

/// <summary>Weighs a long drip for one arrival.</summary>
public static class Advisability
{
    /// <summary>A step of conductivity of less than this share of a run's limit is small. Common practice, no source.</summary>
    private const double SmallShare = 0.25;

    /// <summary>From here on a step of conductivity is one of salinity, µS/cm: 1 in practical salinity.</summary>
    private const double SalinityStep = AnimalLimits.MicrosiemensPerCmPerSalinity;

    /// <summary>For a station that <see cref="StationRules"/> passes.</summary>
    /// <param name="station">The station; without limits of its own or a group, general ones are taken.</param>
    /// <param name="ammonia">What its bag's ammonia becomes; null when unknown.</param>
    /// <param name="evenHours">Hours until even; infinite when never.</param>
    public static Advice Of(Station station, TransitAmmonia? ammonia, double evenHours)
    {
        ArgumentNullException.ThrowIfNull(station);
        var (waters, own) = (station.Waters, AnimalLimits.Of(station.Limits));
        var general = AnimalLimits.Of(station.Limits.Group
            ?? (Math.Max(waters.BagMicrosiemensPerCm, waters.TankMicrosiemensPerCm) > PlanCautions.FreshMicrosiemensPerCm ? AnimalGroup.MarineFish : AnimalGroup.FreshwaterFish));
        var total = (own.TotalMicrosiemensPerCm ?? general.TotalMicrosiemensPerCm)!.Value;
        var hourly = (own.MicrosiemensPerCmPerHour ?? general.MicrosiemensPerCmPerHour)!.Value;
        var celsius = (own.TotalCelsius ?? general.TotalCelsius)!.Value;
        var ph = (own.TotalPh ?? general.TotalPh)!.Value;
        var (step, warmth) = (PlanTimes.Difference(station), Math.Abs(waters.BagTemperatureCelsius - waters.TankTemperatureCelsius));
        double? acid = waters is { BagPh: { } bag, TankPh: { } tank } ? Math.Abs(bag - tank) : null;

        List<string> pro = [], contra = [];
        void Pro(bool holds, string text) => (holds ? pro : []).Add(text);
        void Contra(bool holds, string text) => (holds ? contra : []).Add(text);
        var (jump, jumpMost) = Beyond.Of(step, hourly.Value, "0");
        Pro(step > hourly.Value, $"poured at once, conductivity would jump by {jump} µS/cm; {jumpMost} in an hour is the limit ({hourly.Source})");
        Pro(step >= SalinityStep, "a change of salinity in steps or slowly was survived better than one at once (Jayasankar 2009), and a prawn's blood was steady only within five days");
        var (apart, apartMost) = Beyond.Of(warmth, celsius.Value, "0.0", "0.#");
        Pro(warmth > celsius.Value, $"the waters are {apart} °C apart; {apartMost} is the limit of one run ({celsius.Source})");
        var (acids, acidMost) = Beyond.Of(acid ?? 0, ph.Value, "0.0#");
        Pro(acid > ph.Value, $"they are {acids} apart in pH; {acidMost} is the limit ({ph.Source}); bass fry moved by 1.9 within ten minutes: 48 % lived, not 75 % (Walker 2000)");

        Contra(ammonia is { TurnsHarmful: true }, $"un-ionised ammonia would rise from {ammonia?.InBagMilligramsPerLitre:0.000} to {ammonia?.RisenMilligramsPerLitre:0.000} mg/L as the pH does ({(ammonia?.Measured == true ? "measured" : "assumed from the hours in transit: measure it")})");
        Contra(ammonia is null && station.Arrival.HoursInTransit >= TransitAmmonia.LongHours, $"after {station.Arrival.HoursInTransit:0.#} h in transit the bag's ammonia and pH are not known");
        Contra(step < SmallShare * total.Value, $"the whole step, {step:0} µS/cm, is {100 * step / total.Value:0} % of the limit of one run ({total.Value:0}, {total.Source}): going slowly buys little");
        Contra(step >= SalinityStep, "how far animals went decided more than how fast: red drum lived by 82 % after 10 ‰ and 61 % after 20 ‰ at any speed (McDonald 2016), whiteleg shrimp showed no effect of 19 to 47 % an hour (McGraw 2002)");
        Contra(evenHours > 12 && double.IsFinite(evenHours), $"{evenHours:0} h in a vessel are a strain of their own: water that fouls, air that may fail");

        var lean = step > total.Value ? Lean.InSteps
            : ammonia is { TurnsHarmful: true } && step < total.Value ? Lean.AgainstIt
            : pro.Count > 0 && contra.Count <= pro.Count ? Lean.ForIt
            : contra.Count > 0 && pro.Count == 0 ? Lean.AgainstIt
            : Lean.Either;
        return new Advice(lean, Words(lean, total), pro, contra);
    }

    private static string Words(Lean lean, SourcedLimit total) => lean switch
    {
        Lean.ForIt => "More speaks for a long drip here than against it.",
        Lean.AgainstIt => "More speaks here for a short drip, or a short warming and a quick move into clean water, than for a long drip.",
        Lean.InSteps => $"The whole step is beyond the limit of one run, {total.Value:0} µS/cm ({total.Source}): consider smaller ones, on several days.",
        Lean.Either => "The reasons known here do not decide between a long drip and a short one.",
        _ => throw new ArgumentOutOfRangeException(nameof(lean), lean, "no words for this"),
    };
}
