using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Core.Planning;

/// <summary>
/// Whether the water that the animals travelled in would turn poisonous as its pH rises: mixing with the tank's water and the loss of carbon
/// dioxide both raise it, and ammonia that was harmless at a bag's low pH is not at the tank's.
/// </summary>
public sealed record TransitAmmonia
{
    /// <summary>Ammonia assumed for each hour in transit when nobody measured it, mg/L as total ammonia: 3 mg/L after 20 h. Common practice, no source.</summary>
    public const double AssumedMilligramsPerLitreHour = 0.15;

    /// <summary>A journey from which on it is worth asking, h. Common practice, no source.</summary>
    public const double LongHours = 6;

    private const double LeastSalt = 2;

    /// <summary>Below this pH the share is less than 0.1 % by either, and the sea's constant was never fitted.</summary>
    private const double LeastSeaPh = 6;

    /// <summary>Total ammonia in the bag, mg/L.</summary>
    public required double TotalMilligramsPerLitre { get; init; }

    /// <summary>Whether it was measured, not assumed from the hours.</summary>
    public required bool Measured { get; init; }

    /// <summary>Un-ionised in the closed bag, mg/L.</summary>
    public required double InBagMilligramsPerLitre { get; init; }

    /// <summary>The same water at the tank's pH and temperature, before it is thinned, mg/L: the worst of the drip.</summary>
    public required double RisenMilligramsPerLitre { get; init; }

    /// <summary>And thinned to the bag's share at the end, mg/L; null when the plan does not end.</summary>
    public required double? ThinnedMilligramsPerLitre { get; init; }

    /// <summary>The arithmetic and what to weigh, in plain words.</summary>
    public required string Text { get; init; }

    /// <summary>The same in two sentences.</summary>
    public required string Short { get; init; }

    /// <summary>Whether the rise makes it harmful.</summary>
    public bool TurnsHarmful => RisenMilligramsPerLitre >= UnionisedAmmonia.HarmfulMilligramsPerLitre && RisenMilligramsPerLitre > InBagMilligramsPerLitre;

    /// <summary>The reckoning for a station; null when the file says neither hours nor ammonia, or no pH of bag and tank.</summary>
    /// <param name="station">The station.</param>
    /// <param name="whenClosed">The vessel when the drip ends; null when it does not.</param>
    /// <param name="evenHours">Hours until then.</param>
    public static TransitAmmonia? Of(Station station, CourseAt? whenClosed, double evenHours)
    {
        ArgumentNullException.ThrowIfNull(station);
        var (waters, arrival) = (station.Waters, station.Arrival);
        if (waters is not { BagPh: { } bagPh, TankPh: { } tankPh }
            || (arrival.TotalAmmoniaMilligramsPerLitre ?? arrival.HoursInTransit * AssumedMilligramsPerLitreHour) is not { } total)
        {
            return null;
        }

        var (inBag, bagBy) = Share(bagPh, waters.BagTemperatureCelsius, waters.BagMicrosiemensPerCm);
        var (atTank, tankBy) = Share(tankPh, waters.TankTemperatureCelsius, waters.TankMicrosiemensPerCm);
        // What runs through a standpipe or is drawn off takes its share of it along: the litres alone do not tell what is left.
        double? thinned = total * atTank * whenClosed?.BagShare;
        var measured = arrival.TotalAmmoniaMilligramsPerLitre is not null;
        var known = measured ? $"{total:0.0#} mg/L of ammonia were measured in the bag"
            : $"nobody measured the bag's ammonia; {arrival.HoursInTransit:0.#} h in transit are taken for {total:0.0#} mg/L (an assumption: measure it)";
        return new TransitAmmonia
        {
            TotalMilligramsPerLitre = total,
            Measured = measured,
            InBagMilligramsPerLitre = total * inBag,
            RisenMilligramsPerLitre = total * atTank,
            ThinnedMilligramsPerLitre = thinned,
            Short = $"Ammonia: {known}; {total * inBag:0.000} mg/L of it is un-ionised at the bag's pH {bagPh:0.0#}, and would be {total * atTank:0.000} at the tank's {tankPh:0.0#}; from {UnionisedAmmonia.HarmfulMilligramsPerLitre} on it may harm (UF/IFAS FA16). "
                + "Weigh a short warming and a quick move; do not aerate the bag's water, and never pour it into the tank.",
            Text = $"Ammonia: {known}. At pH {bagPh:0.0#} and {waters.BagTemperatureCelsius:0.0} °C {100 * inBag:0.00#} % of it is un-ionised, {total * inBag:0.000} mg/L; "
                + $"at the tank's pH {tankPh:0.0#} and {waters.TankTemperatureCelsius:0.0} °C {100 * atTank:0.00#} %, {total * atTank:0.000} mg/L before it is thinned"
                + (thinned is { } at ? $", {at:0.000} mg/L in the {whenClosed!.Value.Litres.ToString(Telling.LitresForm.Of(station.Vessel.BrimLitres), System.Globalization.CultureInfo.InvariantCulture)} L at the end" : "")
                + $" ({(bagBy == tankBy ? bagBy : $"{bagBy}; {tankBy}")}). From {UnionisedAmmonia.HarmfulMilligramsPerLitre} mg/L on it may harm fish, about {UnionisedAmmonia.KillingMilligramsPerLitre} mg/L kills (UF/IFAS FA16). "
                + $"A drip of {(double.IsFinite(evenHours) ? $"{evenHours:0.0} h" : "many hours")} keeps the animals in that water while its pH rises, and the opened bag loses carbon dioxide besides, which raises it sooner. "
                + "Decide with care before it starts: a short warming and a quick move into clean water shorten it, and a quick change of salts and temperature has its own cost. Do not aerate the bag's water; never pour it into the tank.",
        };
    }

    /// <summary>The un-ionised share, and by whom: sea water's own constant where the practical salinity scale begins, at 2, since salt binds a fifth of it; fresh water's below.</summary>
    private static (double Fraction, string By) Share(double ph, double celsius, double at25MicrosiemensPerCm)
    {
        var salinity = PracticalSalinity.IsInRange(at25MicrosiemensPerCm / 1000, 25) ? PracticalSalinity.Of(at25MicrosiemensPerCm / 1000, 25) : PracticalSalinity.Max;
        return salinity >= LeastSalt && ph >= LeastSeaPh && celsius is >= 0 and <= 45
            ? (SaltWaterAmmonia.Fraction(ph, celsius, salinity), $"Millero 1995, salinity {salinity:0}")
            : (UnionisedAmmonia.Fraction(ph, celsius), "Emerson 1975");
    }
}
