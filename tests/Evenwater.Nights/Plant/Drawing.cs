using Evenwater.Core.Estimation;

namespace Evenwater.Nights.Plant;

/// <summary>Which two waters meet.</summary>
public enum Waters
{
    /// <summary>Fresh, some way apart.</summary>
    Any,

    /// <summary>Marine, 3 to 11 % apart.</summary>
    Marine,

    /// <summary>2 to 8 % apart.</summary>
    Near,

    /// <summary>Three to eight times apart.</summary>
    Unequal,
}

/// <summary>How well things were measured before the run.</summary>
public enum Care
{
    /// <summary>Guessed by eye, probes as they came.</summary>
    Usual,

    /// <summary>Both probes put in one cup, the start volume poured from a jug.</summary>
    Matched,
}

/// <summary>
/// Draws an untroubled night. The sizes are wide guesses about buckets, drips and probes of this trade (common practice, no
/// source); nobody has measured a bucket for them.
/// </summary>
public static class Drawing
{
    public static NightPlan Ordinary(Chance chance, Waters waters, Care care, bool standpipe)
    {
        var marine = waters == Waters.Marine;
        var (vessel, tank) = Pair(chance, waters);
        var start = chance.LogBetween(1.4, 4.2);
        var brim = Math.Min(start * chance.LogBetween(2.4, 10), 26);
        var freeboard = brim * chance.Between(0.055, 0.125);
        var nominalBrim = brim / (1 + (0.015 * chance.Gauss()));
        double? pipe = standpipe ? Math.Min(start * chance.Between(1.3, 3), brim - (1.5 * freeboard)) : null;
        var startSd = chance.Between(0.075, 0.155);
        startSd = care == Care.Matched ? 0.02 : startSd;
        var startGuess = start * Math.Exp(startSd * chance.Gauss());

        var full = brim - freeboard;
        var tolerance = Math.Abs(vessel - tank) * (standpipe
            ? chance.Between(0.05, 0.14)
            : 1 / Math.Max(chance.Between(0.45, 1.05) * full / start, 1.3));
        var litres = pipe is { } p ? (p - start) + (p * Math.Log(Math.Max(Math.Abs(vessel - tank) * start / p / tolerance, 1.1))) : full - start;
        var flow = Math.Clamp(1000 * litres / (60 * (standpipe ? chance.LogBetween(3.5, 9.5) : chance.LogBetween(2.3, 11))), 5.5, 60);
        var told = chance.Happens(0.67);
        var flowGuess = flow * Math.Exp(0.1 * chance.Gauss());

        var height = 0.225 * Math.Pow(brim / 4, 0.25) * chance.Between(0.95, 1.08);
        var area = brim / 1000 / height;
        var floatSd = nominalBrim * chance.Between(0.008, 0.0125);
        var floats = chance.OneOf(0, 1, 2, 2, 2, 2);
        double? low = floats > 1 ? startGuess + (chance.Between(0.2, 0.5) * (nominalBrim - startGuess)) : null;
        double? high = floats > 0 ? nominalBrim * chance.Between(0.74, 0.88) : null;
        var room = chance.Between(18.5, 25.5);
        var roomTold = chance.Happens(0.3);
        var roomGuess = room + (0.7 * chance.Gauss());

        var gainSd = care == Care.Matched ? 0.003 : 0.021;
        var prior = new Prior
        {
            Mode = standpipe ? VesselMode.Standpipe : VesselMode.Fill,
            StartVolumeLitres = startGuess,
            StartVolumeRelativeSd = startSd,
            BrimLitres = nominalBrim,
            BrimRelativeSd = 0.015,
            FreeboardLitres = freeboard,
            StandpipeLitres = pipe / (1 + (0.02 * chance.Gauss())),
            StandpipeRelativeSd = 0.02,
            FlowMillilitresPerMinute = told ? flowGuess : null,
            FlowRelativeSd = 0.1,
            FloatLowLitres = low,
            FloatHighLitres = high,
            FloatSdLitres = floatSd,
            VesselAreaSquareMetres = area / (1 + (0.005 * chance.Gauss())),
            GainRatioRelativeSd = gainSd,
            ToleranceMicrosiemensPerCm = tolerance,
            QuantisationMicrosiemensPerCm = marine ? chance.OneOf(10.0, 10, 100) : chance.OneOf(0.1, 1.0),
            ValveClosesOnPowerLoss = chance.Happens(0.45),
            RoomCelsius = roomTold ? roomGuess : null,
        };
        var plan = new NightPlan
        {
            Prior = prior,
            PeriodSeconds = chance.OneOf(1.0, 2, 5, 5, 5),
            StartLitres = start,
            BrimLitres = brim,
            StandpipeLitres = pipe,
            VesselMicrosiemens = vessel,
            TankMicrosiemens = tank,
            BagCelsius = chance.Between(17.5, 27),
            TankCelsius = chance.Between(22, 27),
            TankWanderSd = chance.Between(0.0003, 0.002),
            TubeMillilitresPerMinute = chance.Between(0, 2.5),
            Inflow = Parts.Drip(chance, flow),
            Air = new Air(room, chance.Between(0.35, 0.7), area * chance.Between(0.15, 1), chance.LogBetween(0.8, 3.5)),
            Stirring = Parts.Stirring(chance),
        };
        plan = Parts.Fit(plan, chance, gainSd, floatSd, area);
        return chance.Happens(0.3) ? Parts.Paused(plan, chance) : plan;
    }

    private static (double Vessel, double Tank) Pair(Chance chance, Waters waters)
    {
        var apart = waters switch
        {
            Waters.Marine => chance.Between(0.03, 0.11),
            Waters.Near => chance.Between(0.02, 0.08),
            Waters.Unequal => Math.Log(chance.Between(3, 8)),
            _ => Math.Log(chance.Between(1.28, 3.2)),
        };
        var upper = waters == Waters.Marine ? chance.Between(49_000, 54_000) : chance.LogBetween(260, 900);
        var other = upper * Math.Exp(-apart);
        return chance.Happens(0.5) ? (upper, other) : (other, upper);
    }
}
