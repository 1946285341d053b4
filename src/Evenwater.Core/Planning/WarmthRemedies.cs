using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>
/// What a keeper can do where the temperature would not settle near the tank's, or would not stay there once the valve is closed. How much each helps is reckoned
/// from usual surface coefficients (sides 7.5, top 9 W/(m2 K), evaporation adding about 1 W/K to 2.7; assumed, never measured on a bucket), so take it to a third.
/// </summary>
internal static class WarmthRemedies
{
    /// <summary>A lid stops evaporation and half of the open top's exchange: (2.7 - 0.3) / 3.7 W/K.</summary>
    private const double LidLeaves = 0.65;

    /// <summary>20 mm of foam of 0.035 W/(m K) around sides and bottom: their 1 / 7.5 m2 K/W become 0.70, a fifth; with the top as it is, 0.95 of 2.7 W/K.</summary>
    private const double FoamLeaves = 0.35;

    /// <summary>What goes to the air under a lid, mL/h: the station manual's own figure.</summary>
    private const double UnderLidMillilitresPerHour = 1;

    public static IEnumerable<Way> Of(Trial trial)
    {
        var stops = trial.Obstacles.Any(o => o.Kind == Obstacle.TemperatureStops);
        if (!stops && trial.IsNear(trial.RestsAt)) yield break;
        var station = trial.Station;
        if (!station.Room.Lid)
        {
            var lid = station with
            {
                Room = station.Room with { Lid = true },
                Vessel = station.Vessel with { HeatExchangeWattsPerKelvin = LidLeaves * station.Vessel.HeatExchangeWattsPerKelvin },
                Evaporation = new Evaporation { MillilitresPerHour = Math.Min(station.Evaporation.MillilitresPerHour, UnderLidMillilitresPerHour) },
            };
            yield return Alternatives.Make("a lid", "A lid that lets air in.", trial.With(lid));
        }

        var wrapped = station with { Vessel = station.Vessel with { HeatExchangeWattsPerKelvin = FoamLeaves * station.Vessel.HeatExchangeWattsPerKelvin } };
        yield return Alternatives.Make("foam around it", "20 mm of foam around sides and bottom. It slows the room, it does not keep it out: once closed the vessel drifts as far, only later.",
            trial.With(wrapped));

        var warmed = InOtherRoom(trial);
        var needed = warmed.Room.TemperatureCelsius;
        yield return Alternatives.Make($"a room at {needed:0.0} °C", $"The room at {needed:0.0} °C all the time, not {station.Room.TemperatureCelsius:0.0}; no heater in or at the vessel.", trial.With(warmed));

        // For its temperature alone, before the drip: closed, so that none of the bag's water goes into the tank.
        var floated = station with { Waters = station.Waters with { BagTemperatureCelsius = station.Waters.TankTemperatureCelsius } };
        yield return Alternatives.Make("float it closed first", "Float the closed bag or container in the tank for half an hour, then drip: it begins at the tank's temperature. Its water must never get into the tank, and a long journey's ammonia waits meanwhile.",
            trial.With(floated));
    }

    /// <summary>The station in the room in which the closed vessel rests at the tank's own temperature: as much warmer as it rests too cold.</summary>
    public static Station InOtherRoom(Trial trial) => trial.Station with
    {
        Room = trial.Station.Room with
        {
            TemperatureCelsius = Math.Round(Math.Clamp(trial.Station.Room.TemperatureCelsius + trial.Station.Waters.TankTemperatureCelsius - trial.RestsAt.Celsius, 0, 45), 1),
        },
    };
}
