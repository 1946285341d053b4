using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Months;

/// <summary>The water of a month: run twice with the same chance, once with nothing happening, so that what came of it is known apart from noise.</summary>
internal static class MonthWater
{
    public static (double[] Conductivity, double[] Temperature, double[] Light) Run(TankMonth month, Chance chance, IReadOnlyList<Planted> planted)
    {
        var made = Balance(month, planted);
        var calm = Balance(month, []);
        month.Moved = (
            [.. made.Salt.Zip(calm.Salt, (a, b) => 100 * Math.Log(a / b))], [.. made.Celsius.Zip(calm.Celsius, (a, b) => a - b)], [.. made.Lux.Zip(calm.Lux, (a, b) => a - b)]);
        return Read(month, chance, planted, made);
    }

    /// <summary>Litres, salt and heat by the minute.</summary>
    private static (double[] Salt, double[] Celsius, double[] Lux, double[] Clean) Balance(TankMonth month, IReadOnlyList<Planted> planted)
    {
        var (salt, celsius, lux, clean) = (new double[TankMonth.Minutes], new double[TankMonth.Minutes], new double[TankMonth.Minutes], new double[TankMonth.Minutes]);
        var (litres, amount, warm, gain) = (month.Litres, month.Litres * month.Microsiemens, month.SetCelsius, 1.0);
        var cooling = 0.04 / 60 * Math.Pow(100 / month.Litres, 0.33); // of the distance to the room, a minute
        for (var minute = 0; minute < TankMonth.Minutes; minute++)
        {
            var (on, off, set, power, left, fouled) = (month.LampOn, month.LampOff, month.SetCelsius, true, 1.0, 0.0);
            var sun = 0.0;
            litres -= month.EvaporatesPercentADay / 100 / 1440 * month.Litres;
            if (month.FilledUp.Any(begun => minute >= begun && minute < begun + TankMonth.FillingMinutes))
            {
                var poured = Math.Max(0, month.Litres - litres) / (TankMonth.FillingMinutes - (minute - month.FilledUp.Last(begun => begun <= minute)));
                litres += poured;
                warm += poured / litres * (month.RoomCelsius - warm);
            }

            foreach (var one in planted)
            {
                var during = minute >= one.Minute && minute < one.Until;
                var length = Math.Max(1, one.Until - one.Minute);
                switch (one.Kind)
                {
                    case PlantedKind.WaterChange when during:
                        var share = one.Amount / length;
                        amount += share * (month.NewMicrosiemens - (amount / litres));
                        warm += share / litres * (month.NewCelsius - warm);
                        break;
                    case PlantedKind.TopOff:
                        // The top-off was due: the tank had lost as much over the week before, and the keeper's pouring takes it back.
                        if (minute >= one.Minute - 10_080 && minute < one.Minute) litres -= one.Amount / 10_080;
                        if (!during) break;
                        litres += one.Amount / length;
                        warm += one.Amount / length / litres * (month.RoomCelsius - warm);
                        break;
                    case PlantedKind.Evaporation when during: litres -= one.Amount / 1440; break;
                    case PlantedKind.Dose when during: amount *= 1 + (one.Amount / 100 / length); break;
                    case PlantedKind.Overfeeding when minute >= one.Minute:
                        amount *= 1 + (one.Amount / 100 / 1000 * Math.Exp(-(minute - one.Minute) / 1000.0));
                        break;
                    case PlantedKind.Heater when minute >= one.Minute: set += one.Amount; break;
                    case PlantedKind.Light when during: (on, off) = (on + (int)(60 * one.Amount), off + (int)(60 * one.Amount)); break;
                    case PlantedKind.SaltCreep when during: amount *= 1 - (one.Amount / 100 / 1440); break;
                    case PlantedKind.Fouling when minute >= one.Minute:
                        // Cleaned at the end of it when the keeper tells so; else it stays as it is.
                        if (minute < one.Until || !one.Told) fouled += one.Amount * (Math.Min(minute, one.Until) - one.Minute) / 1440.0;
                        break;
                    case PlantedKind.OutOfWater when during: left = one.Amount; break;
                    case PlantedKind.Calibration when minute == one.Minute: gain *= 1 + (one.Amount / 100); break;
                    case PlantedKind.PowerCut when during: power = false; break;
                    case PlantedKind.Drip when during:
                        // Tank water drips out, the automatic top-off replaces it with fresh water.
                        amount -= one.Amount / length * (amount / litres);
                        break;
                    case PlantedKind.Hump when during: left *= 1 + (one.Amount / 100 * Math.Sin(Math.PI * (minute - one.Minute) / length)); break;
                    case PlantedKind.WarmSpell when during: sun = 1.2 * one.Amount / length; break;
                    default: break;
                }
            }

            var ofDay = minute % 1440;
            var lit = power && ofDay >= on && ofDay < off;
            warm += sun - (cooling * (warm - month.RoomCelsius - (Math.Sin(2 * Math.PI * (ofDay - 540) / 1440.0) * 0.8)));
            if (lit) warm += 0.0005;
            // A heater that acts in proportion, as strong as it needs to be.
            if (power) warm += Math.Clamp((set - warm) * 0.02, sun > 0 ? 0 : -0.0006, 0.012) + (cooling * (set - month.RoomCelsius));
            (salt[minute], celsius[minute], lux[minute], clean[minute]) = (amount / litres * gain * left * (1 - (fouled / 100)), warm, lit ? 4000 : 0, 1 / (1 + fouled));
        }

        return (salt, celsius, lux, clean);
    }

    private static (double[] Conductivity, double[] Temperature, double[] Light) Read(
        TankMonth month, Chance chance, IReadOnlyList<Planted> planted, (double[] Salt, double[] Celsius, double[] Lux, double[] Clean) water)
    {
        var (white, wander) = (chance.Between(0.05, 0.25), chance.Between(0.08, 0.25)); // % of conductivity
        var (whiteCelsius, wanderCelsius) = (chance.Between(0.01, 0.04), chance.Between(0.02, 0.06));
        var ofConductivity = new Wander(chance, wander, 60 * chance.Between(20, 80), 60);
        var ofTemperature = new Wander(chance, wanderCelsius, 60 * chance.Between(20, 80), 60);
        var ofLight = new Wander(chance, 1, 60 * 30, 60);
        // Median of 15 values: sd 1.25 / sqrt(15) of one.
        month.Restless = (Math.Sqrt((white * white / 9.6) + (wander * wander)), Math.Sqrt((whiteCelsius * whiteCelsius / 9.6) + (wanderCelsius * wanderCelsius)), 150);
        var swing = chance.Between(0.1, 0.5); // % of conductivity in the day's course
        var (conductivity, temperature, light) = (new double[TankMonth.Minutes], new double[TankMonth.Minutes], new double[TankMonth.Minutes]);
        for (var minute = 0; minute < TankMonth.Minutes; minute++)
        {
            ofConductivity.Step();
            ofTemperature.Step();
            ofLight.Step();
            var restless = planted.Any(one => one.Kind == PlantedKind.Restless && minute >= one.Minute && minute < one.Until) ? planted.First(one => one.Kind == PlantedKind.Restless).Amount * 4 * white : 0;
            var noise = (white * water.Clean[minute] * chance.Gauss()) + (restless * chance.Gauss()) + (ofConductivity.Value * water.Clean[minute]) + (swing * Math.Sin(2 * Math.PI * ((minute % 1440) - 300) / 1440.0));
            conductivity[minute] = water.Salt[minute] * Math.Exp(noise / 100);
            temperature[minute] = water.Celsius[minute] + (whiteCelsius * chance.Gauss()) + ofTemperature.Value;
            light[minute] = Math.Max(0, (water.Lux[minute] * (1 + (0.02 * ofLight.Value))) + (20 * Math.Abs(ofLight.Value)));
            if (planted.Any(one => one.Kind == PlantedKind.PowerCut && minute >= one.Minute && minute < one.Until)) (conductivity[minute], temperature[minute], light[minute]) = (double.NaN, double.NaN, double.NaN);
        }

        return (conductivity, temperature, light);
    }
}
