using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;

namespace Evenwater.Calibrating;

/// <summary>
/// Both conductivity probes with their thermometers in one cup: the tank's cell constant and thermometer are set so that both read alike; the vessel's are the measure. What is left of doubt goes into
/// probes.gainRatioSd, which the estimator begins each run with.
/// </summary>
/// <param name="cups">Hands and patience.</param>
internal sealed class BothGuide(Cups cups)
{
    /// <summary>The two thermometers' difference may still move by this, °C.</summary>
    private const double AllowedCelsius = 0.08;

    /// <summary>Goes through it.</summary>
    public async Task<Outcome<Found>> RunAsync()
    {
        await cups.DoAsync("in", "Put both conductivity probes, each with its thermometer, into one cup of tank water: off the walls, no bubbles, not touching. Stir once.");
        var sensors = cups.Station.Sensors;

        // One cup has one temperature, whatever two thermometers make of it: both cells are carried to 25 °C by the vessel's.
        var alike = sensors with { TankThermometerOffsetCelsius = sensors.VesselThermometerOffsetCelsius };
        var match = new CupMatch();
        var apart = new Steadiness(CupMatch.Wanted, AllowedCelsius, CupMatch.SlowestLag / 2, 1.0 / 16);
        var (told, last) = ((Text: "", Count: 0), double.NaN);
        var steady = await cups.LookAsync(look =>
        {
            var raw = look.Raw;
            if (Cups.Celsius(raw, Channel.VesselTemperature, sensors.VesselThermometerOffsetCelsius) is not { } vessel
                || Cups.Celsius(raw, Channel.TankTemperature, sensors.TankThermometerOffsetCelsius) is not { } tank || Math.Abs(vessel - tank) > CupMatch.MostCelsiusApart)
            {
                apart.Clear();
                match = new CupMatch();
                cups.Tell(ref told, "A thermometer does not answer, is not in the cup yet, or still settles; waiting.", 0, CupMatch.Wanted);
                return false;
            }

            if (raw[Channel.TankTemperature].TakenAt.Seconds is var at && at != last)
            {
                last = at;
                apart.Add(tank - vessel);
            }

            raw[Channel.TankTemperature] = raw[Channel.VesselTemperature];
            var state = match.Step(Calibrate.Apply(raw, alike));
            var enough = state == CupState.Steady && apart.IsSteady;
            cups.Tell(ref told, Words(state, apart.IsSteady), state == CupState.Looking ? match.Count : CupMatch.Wanted, CupMatch.Wanted);
            return enough;
        });
        await cups.DoAsync("out", "Put each probe, with its thermometer, back into its own water.");
        if (!steady)
        {
            return new Problem(
                "both", $"{Words(match.State, apart.IsSteady)} After {Cups.PatienceSeconds / 60:0} min", "two cells within 28 % and two thermometers within 1 °C of each other, steady",
                "See that both stand in the same water, free of bubbles, and try again. The former calibrations stay.");
        }

        var input = sensors.TankConductivity!;
        var celsius = sensors.TankThermometerOffsetCelsius + apart.Mean;
        return new Found(
            [
                new("sensors.tankConductivity.cellConstantPerCm", "1/cm", input.CellConstantPerCm, input.CellConstantPerCm * match.Ratio, input.CellConstantPerCm * match.Ratio * match.RelativeSd),
                new("sensors.tankConductivity.offsetMicrosiemensPerCm", "µS/cm", input.OffsetMicrosiemensPerCm, input.OffsetMicrosiemensPerCm * match.Ratio, 0),
                new("sensors.tankThermometerOffsetCelsius", "°C", sensors.TankThermometerOffsetCelsius, celsius, apart.SdOfMean),
                new("probes.gainRatioSd", "(a fraction)", cups.Station.Probes.GainRatioSd, match.RelativeSd, 0),
            ],
            $"vessel over tank {match.Ratio:0.0000}, known to {match.RelativeSd * 100:0.00} %; the tank's thermometer {apart.Mean:+0.000;-0.000} °C against the vessel's, known to {apart.SdOfMean:0.000} °C");
    }

    private static string Words(CupState state, bool alike) => state switch
    {
        CupState.NoReading => "Waiting for a good reading of both probes.",
        CupState.NotOneWater => "They read too far apart to be in one cup; waiting.",
        CupState.NotOneTemperature => "Their thermometers still settle; waiting.",
        CupState.Looking => "Reading:",
        CupState.Moving => "Their ratio still moves; going on.",
        CupState.Steady => alike ? "Steady." : "The cells are steady; their thermometers still move.",
        _ => throw new ArgumentOutOfRangeException(nameof(state), state, "no words for this state"),
    };
}
