using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>Cautions about the animals and the water they came in.</summary>
internal static class ArrivalCautions
{
    /// <summary>Oxygen that lasts less than this in the first water is told, h. Common practice, no source.</summary>
    private const double ShortOfOxygenHours = 4;

    /// <summary>Hardness that is still further than this from the tank's is told, °d: the drop test's own half degree, twice.</summary>
    private const double FarDegrees = 1;

    public static void Add(Station station, CourseAt? whenClosed, TransitAmmonia? ammonia, Action<bool, Caution, Func<string>> add)
    {
        AboutTheAnimals(station, whenClosed, add);
        AboutAmmonia(station, ammonia, add);
        AboutOxygen(station, add);
        AboutWhatConductivityHides(station, whenClosed, ammonia, add);
    }

    /// <summary>How far the run takes the animals in all; without a match, as far as to the tank.</summary>
    private static void AboutTheAnimals(Station station, CourseAt? whenClosed, Action<bool, Caution, Func<string>> add)
    {
        var (waters, limits) = (station.Waters, AnimalLimits.Of(station.Limits));
        var conductivity = Math.Abs((whenClosed?.MicrosiemensPerCm ?? waters.TankMicrosiemensPerCm) - waters.BagMicrosiemensPerCm);
        add(conductivity > limits.TotalMicrosiemensPerCm?.Value, Caution.FurtherThanLimit,
            () => $"The conductivity changes by {PlanCautions.Over(conductivity, limits.TotalMicrosiemensPerCm, "0", " µS/cm in all; the limit of one run is ")}. The valve closes there: do it in steps, on several days.");
        var celsius = Math.Abs((whenClosed?.Celsius ?? waters.TankTemperatureCelsius) - waters.BagTemperatureCelsius);
        add(celsius > limits.TotalCelsius?.Value, Caution.FurtherThanLimit,
            () => $"The temperature changes by {PlanCautions.Over(celsius, limits.TotalCelsius, "0.0", " °C in all; the limit of one run is ", "0.#")}. The valve closes there: bring the two nearer to each other first.");
        add(Math.Abs((waters.TankPh ?? 0) - (waters.BagPh ?? 0)) > limits.TotalPh?.Value && waters is { BagPh: not null, TankPh: not null }, Caution.FurtherThanLimit,
            () => $"The two waters are {PlanCautions.Over(Math.Abs(waters.TankPh!.Value - waters.BagPh!.Value), limits.TotalPh, "0.0#", " apart in pH; the limit is ")}. Nothing here measures pH, and it does not mix along a straight line: look at it yourself.");
        add(limits.Note is not null, Caution.Always, () => limits.Note!);
    }

    private static void AboutAmmonia(Station station, TransitAmmonia? ammonia, Action<bool, Caution, Func<string>> add)
    {
        add(ammonia is { TurnsHarmful: true }, Caution.TransitAmmonia, () => ammonia!.Short);
        add(ammonia is null && station.Arrival.HoursInTransit >= TransitAmmonia.LongHours, Caution.TransitAmmonia,
            () => $"After {station.Arrival.HoursInTransit:0.#} h in transit measure the pH of bag and tank (waters.bagPh, waters.tankPh) before a long drip: as the pH rises, the bag's ammonia may turn poisonous.");
        add(ammonia is null && !(station.Arrival.HoursInTransit >= TransitAmmonia.LongHours), Caution.Always,
            () => "Water that animals travelled in can hold ammonia, which turns poisonous as the opened bag loses carbon dioxide: after a long journey ask whether a slow drip is right at all, and never pour that water into the tank.");
    }

    private static void AboutOxygen(Station station, Action<bool, Caution, Func<string>> add)
    {
        var oxygen = VesselOxygen.Of(station);
        add(oxygen is { FirstHours.Low: < ShortOfOxygenHours, DripShare: < 2 }, Caution.Oxygen,
            () => $"Oxygen: {(station.Arrival.Animals == 1 ? "one animal" : $"{station.Arrival.Animals} animals")} of {station.Arrival.TotalGrams:0.#} g breathe{(station.Arrival.Animals == 1 ? "s" : "")} {station.Vessel.StartVolumeLitres:0.0#} L down from {oxygen!.StartMilligramsPerLitre:0.0} to {VesselOxygen.LeastMilligramsPerLitre:0} mg/L in about {oxygen.FirstHours.Middle:0.0} h "
                + $"({oxygen.FirstHours.Low:0.0} to {oxygen.FirstHours.High:0.0}; Clarke and Johnston 1999) if none comes from the air; the drip brings {100 * oxygen.DripShare:0} % of that. A wide surface and more water help; air blown into the bag's water drives its pH up, and its ammonia.");
    }

    private static void AboutWhatConductivityHides(Station station, CourseAt? whenClosed, TransitAmmonia? ammonia, Action<bool, Caution, Func<string>> add)
    {
        var residuals = Residuals.Of(station, whenClosed, ammonia);
        var far = residuals.Where(r => r.What.Contains('°', StringComparison.Ordinal) && Math.Abs(r.AtEnd.Middle - r.Tank) > FarDegrees).ToList();
        add(far.Count > 0, Caution.OnlyConductivity,
            () => $"Even in conductivity is not even in all: {string.Join(" and ", far.Select(r => $"{r.What.Split(',')[0]} is still {r.AtEnd.Middle:0.0} °d then, the tank's {r.Tank:0.0}"))}.");
        add(far.Count == 0 && !residuals.Any(r => r.What.Contains('°', StringComparison.Ordinal)), Caution.OnlyConductivity,
            () => "Equal conductivity can hide different water: test hardness and pH of both (keys of waters), and the plan tells what is left of each.");
        add(PlanTimes.ReplacedWanted(station) is { }, Caution.OnlyConductivity,
            () => $"The two waters conduct nearly alike, so conductivity can not tell when one has become the other: the run goes by the water replaced, {100 * PlanTimes.ReplacedWanted(station)!.Value:0} %, and drips on until that is sure.");
    }
}
