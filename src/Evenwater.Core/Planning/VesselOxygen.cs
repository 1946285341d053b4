using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Core.Planning;

/// <summary>How long the oxygen of the vessel lasts if none comes from the air: an upper bound of the trouble, and only as good as the guess of what the animals weigh.</summary>
public sealed record VesselOxygen
{
    /// <summary>Below this fish are taken to be in want, mg/L. Common practice, no source.</summary>
    public const double LeastMilligramsPerLitre = 3;

    /// <summary>Oxygen of the first water at rest with air, mg/L. A bag packed with oxygen holds more, one after a long journey less.</summary>
    public required double StartMilligramsPerLitre { get; init; }

    /// <summary>Hours in the first water, half to twice.</summary>
    public required Doubtful FirstHours { get; init; }

    /// <summary>The oxygen that the drip itself brings, as a share of what the animals use, above 0: at 1 and more it feeds them.</summary>
    public required double DripShare { get; init; }

    /// <summary>For a station; null when nobody told how many animals there are and what they weigh, or the water is outside the formulas.</summary>
    /// <param name="station">The station.</param>
    public static VesselOxygen? Of(Station station)
    {
        ArgumentNullException.ThrowIfNull(station);
        var (waters, arrival) = (station.Waters, station.Arrival);
        if (arrival is not { Animals: { } animals, TotalGrams: { } grams } || waters.BagTemperatureCelsius is not (>= 0 and <= 35) || waters.BagMicrosiemensPerCm > 59_000) return null;
        var start = OxygenSaturation.MilligramsPerLitre(waters.BagTemperatureCelsius, Math.Min(40, OxygenSaturation.SalinityOf(waters.BagMicrosiemensPerCm)));
        var use = Respiration.FishMilligramsPerGramHour(Math.Clamp(grams / animals, 0.01, 10_000), waters.BagTemperatureCelsius).Middle;
        var flow = FlowRate.FromMillilitresPerMinute(station.Drip.FlowMillilitresPerMinute ?? RateProposal.MillilitresPerMinute(station, RateProposal.UsualHours));
        return new VesselOxygen
        {
            StartMilligramsPerLitre = start,
            FirstHours = Respiration.HoursUnaerated(station.Vessel.StartVolumeLitres, start, LeastMilligramsPerLitre, grams, use),
            DripShare = flow.LitresPerHour * (start - LeastMilligramsPerLitre) / (grams * use),
        };
    }
}
