using Evenwater.Core.Safety;
using Evenwater.Core.Water;

namespace Evenwater.Core.Waiting;

/// <summary>
/// The time that is left to animals in still, closed water: oxygen by <see cref="Respiration"/>, with none from the air, from saturation (an assumption) down to a floor; temperature
/// toward the room's by <see cref="OpenVessel"/>, which knows no cooling by evaporation.
/// </summary>
public static class Waits
{
    /// <summary>Oxygen must not fall below this, mg/L. From memory: EPA 440/5-86-003, one-day minimum for early life stages of warm-water fish; others bear 3.</summary>
    public const double LeastOxygenMilligramsPerLitre = 5;

    /// <summary>When nobody told the animals' mass somebody should look after this, h. Common practice, no source.</summary>
    public const double LookAfterHours = 6;

    /// <summary>A person is called so long before the time is over, min. Common practice, no source.</summary>
    public const double CallMinutes = 60;

    /// <summary>One animal that nobody weighed, g: at least this. Our own choice, for a range to be told.</summary>
    public const double LightGrams = 0.1;

    /// <summary>And at most this.</summary>
    public const double HeavyGrams = 5;

    /// <summary>The time left; null unless water stands still in a run with animals: a proof test has none.</summary>
    /// <param name="state">The station.</param>
    public static Wait? Of(StationState state)
    {
        if (state.Phase is not (Phase.Holding or Phase.Tripped) || state.Run is not { ProofTest: not true } run)
        {
            return null;
        }

        var stood = state.LastStepAt.SecondsSince(state.StoodSince);
        var oxygen = run.Animals is { Grams: { } grams, Count: var count } ? OxygenHours(state, grams, count) : null;
        // Waters that never were even and whose temperatures are apart do not part any more: to let the animals in is no answer to that.
        var warmth = WarmthSeconds(state) is var apart && apart <= 0 && !state.WasEven ? null : apart;
        if (state.StoodLonger)
        {
            return new Wait(0, WaitEnd.CutUnknown, oxygen);
        }

        var (seconds, end) = oxygen is { } hours ? ((hours.Low * 3600) - stood, WaitEnd.Oxygen) : ((LookAfterHours * 3600) - stood, WaitEnd.NobodyKnows);
        return warmth < seconds ? new Wait(warmth.Value, WaitEnd.Warmth, oxygen) : new Wait(seconds, end, oxygen);
    }

    /// <summary>How long the oxygen lasts from when the water stood still, h; null when it can not be told.</summary>
    /// <param name="state">The station.</param>
    /// <param name="grams">All animals together, g, above 0.</param>
    /// <param name="count">How many, 1 or more.</param>
    public static Doubtful? OxygenHours(StationState state, double grams, int count)
    {
        var (each, litres) = (grams / count, Litres(state));
        if (Celsius(state) is var celsius && celsius is not (>= 0 and <= 35) || each is not (>= 0.01 and <= 10_000) || !(litres > 0))
        {
            return null;
        }

        var salinity = state.Readings[Channel.VesselConductivity].TryGet(out var conductivity) ? Math.Min(OxygenSaturation.SalinityOf(Math.Clamp(conductivity, 0, 59_000)), 40) : 0;
        var start = OxygenSaturation.MilligramsPerLitre(celsius, salinity);
        var use = Respiration.FishMilligramsPerGramHour(each, celsius);
        return Respiration.HoursUnaerated(litres, start, Math.Min(LeastOxygenMilligramsPerLitre, start), grams, use.Middle);
    }

    /// <summary>Until the vessel, drifting to the room's temperature, differs from the tank by more than the tolerance, s from now; 0: it does now; infinite: never; null: can not be told.</summary>
    public static double? WarmthSeconds(StationState state)
    {
        if (!state.Readings[Channel.VesselTemperature].TryGet(out var vessel) || !state.Readings[Channel.TankTemperature].TryGet(out var tank) || !(Litres(state) > 0))
        {
            return null;
        }

        var (room, tolerance) = (state.Station.Room.TemperatureCelsius, state.Station.Match.TemperatureToleranceCelsius);
        if (Math.Abs(vessel - tank) > tolerance)
        {
            return 0;
        }

        if (Math.Abs(room - tank) <= tolerance)
        {
            return double.PositiveInfinity;
        }

        var edge = tank + (Math.Sign(room - tank) * tolerance);
        return 3600 * OpenVessel.TimeConstantHours(Litres(state), state.Station.Vessel.HeatExchangeWattsPerKelvin) * Math.Log((vessel - room) / (edge - room));
    }

    /// <summary>By when the animals should be let in, and what that rests on.</summary>
    /// <param name="state">The station.</param>
    /// <param name="wait">The time left.</param>
    /// <param name="wallNow">Local wall time, or null when the clock is not known.</param>
    /// <param name="zone">What clocks show here when they are changed; null: they stay as they are now.</param>
    public static string Sentence(StationState state, in Wait wait, DateTimeOffset? wallNow, TimeZoneInfo? zone = null) => wait.Seconds <= 0
        ? $"Let the animals in now: {Basis(state, wait)}."
        : wait.Seconds > Telling.TimeWords.LongestSeconds ? $"There is more than a day to let the animals in: {Basis(state, wait)}."
        : $"Let the animals in {new Telling.Moments(wallNow, zone).By(wait.Seconds)}: {Basis(state, wait)}.";

    /// <summary>What the time rests on, in words.</summary>
    public static string Basis(StationState state, in Wait wait) => wait.End switch
    {
        WaitEnd.Warmth when wait.Seconds <= 0 => $"the vessel differs from the tank by {state.Station.Match.TemperatureToleranceCelsius:0.#} °C and more by now",
        WaitEnd.Warmth => $"the vessel drifts to the room's {state.Station.Room.TemperatureCelsius:0.#} °C and by then differs from the tank by more than {state.Station.Match.TemperatureToleranceCelsius:0.#} °C",
        WaitEnd.Oxygen when wait.OxygenHours is { } hours && state.Run?.Animals is { Grams: { } grams } =>
            $"the oxygen of {Litres(state).ToString(Telling.LitresForm.Of(state.Station.Vessel.BrimLitres), System.Globalization.CultureInfo.InvariantCulture)} L lasts {grams:0.#} g of animals {Hours(hours.Low, hours.High)} of standing still, down to {LeastOxygenMilligramsPerLitre:0} mg/L and with none from the air{Taken(state)}",
        WaitEnd.CutUnknown => "how long they have stood in still water can't be told, since the program was away and this computer's clock does not know for how long",
        _ when state.Run?.Animals?.Grams is not null =>
            $"how long the oxygen lasts can't be told of animals so small or large, or in water so cold or warm; after {LookAfterHours:0} h of standing still somebody should look",
        _ => $"how long the oxygen lasts can't be told, since nobody told the animals' mass{Guess(state)}; after {LookAfterHours:0} h of standing still somebody should look",
    };

    /// <summary>The vessel's temperature; without it the warmer of what it lies between, since a lost thermometer must not make the time longer.</summary>
    private static double Celsius(StationState state) => state.Readings[Channel.VesselTemperature].TryGet(out var vessel) ? vessel
        : state.Readings[Channel.TankTemperature].TryGet(out var tank) ? Math.Max(tank, state.Station.Room.TemperatureCelsius) : state.Station.Room.TemperatureCelsius;

    private static string Taken(StationState state) => state.Readings[Channel.VesselTemperature].IsGood ? ""
        : $"; the vessel's thermometer gives no good reading, so {Celsius(state):0.#} °C is taken";

    /// <summary>The lower end of the water that is there: less water, less oxygen.</summary>
    private static double Litres(StationState state) => state.HasForecast ? state.Forecast.VolumeLitres.P05 : state.Run!.Prior.StartVolumeLitres;

    private static string Guess(StationState state) => state.Run?.Animals?.Count is { } count
        && OxygenHours(state, count * HeavyGrams, count) is { } heavy && OxygenHours(state, count * LightGrams, count) is { } light
            ? $" ({count} of {LightGrams:0.#} to {HeavyGrams:0} g each: {Hours(heavy.Low, light.High)})"
            : "";

    private static string Hours(double low, double high) => low >= 100 ? "more than 100 h" : $"{low:0.#} to {(high >= 100 ? "more than 100" : $"{high:0.#}")} h";
}
