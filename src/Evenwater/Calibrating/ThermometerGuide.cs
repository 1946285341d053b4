using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;

namespace Evenwater.Calibrating;

/// <summary>A thermometer in an ice bath, or beside a good one.</summary>
/// <param name="cups">Hands and patience.</param>
/// <param name="vessel">The vessel's; else the tank's.</param>
internal sealed class ThermometerGuide(Cups cups, bool vessel)
{
    /// <summary>Readings that are looked at; two thermometers take turns, so there is one in two seconds.</summary>
    private const int Wanted = 120;

    /// <summary>A trend may leave the mean off by this, °C: the offset is then known to the tenth that a data sheet's curves leave anyway.</summary>
    private const double AllowedMove = 0.08;

    /// <summary>By which fraction a conductivity changes for each degree: potassium chloride 0.0184 to 0.0197 from 5 to 30 °C (NIST and IUPAC, PAC 73:1783), natural waters alike.</summary>
    private const double PerKelvin = 0.02;

    /// <summary>A twentieth more is no other number.</summary>
    private const double NotWorthTelling = 1.05;

    private readonly Channel _channel = vessel ? Channel.VesselTemperature : Channel.TankTemperature;
    private readonly double _offset = vessel ? cups.Station.Sensors.VesselThermometerOffsetCelsius : cups.Station.Sensors.TankThermometerOffsetCelsius;

    private string Which => vessel ? "vessel" : "tank";

    /// <summary>Goes through it.</summary>
    /// <param name="referenceCelsius">What the other reads; null: an ice bath.</param>
    /// <param name="referenceSd">1-sigma of that, °C.</param>
    public async Task<Outcome<Found>> RunAsync(double? referenceCelsius, double referenceSd)
    {
        var doing = referenceCelsius is { } other
            ? $"Put the {Which}'s thermometer beside the other one, which reads {other:0.00} °C, into the same stirred water."
            : $"Crushed ice in a cup, filled up with cold water, stirred; put the {Which}'s thermometer into it, off the walls and the bottom.";
        await cups.DoAsync($"{Which} 300 {referenceCelsius ?? 0}", doing);
        var (mean, sd, problem) = await SteadyAsync();
        await cups.DoAsync("out", $"Put the {Which}'s thermometer back into its own water.");
        if (problem is { } moving) return moving;
        var outcome = referenceCelsius is { } reference ? ThermometerOffset.Beside(mean, sd, reference, referenceSd) : ThermometerOffset.InIce(mean, sd);
        return outcome.Found is not { } found
            ? outcome.Refusal!.Value
            : new Found(
                [new($"sensors.{Which}ThermometerOffsetCelsius", "°C", _offset, found.Celsius, found.Sd), .. Agreement(found.Celsius - _offset)],
                $"{(referenceCelsius is { } r ? $"beside a thermometer of {r:0.00} °C" : "in ice")}: read {mean:0.000} °C");
    }

    /// <summary>
    /// A cell's readings are carried to 25 °C by its thermometer: moved alone it moves them, and two cells that were matched agree less by as much. Told with the words to match them anew.
    /// </summary>
    /// <param name="movedCelsius">By how much the offset has changed.</param>
    private IEnumerable<CalibratedValue> Agreement(double movedCelsius)
    {
        var before = cups.Station.Probes.GainRatioSd;
        var after = Math.Clamp(Math.Sqrt((before * before) + (PerKelvin * PerKelvin * movedCelsius * movedCelsius)), before, Math.Max(before, Probes.UnmatchedSd));
        if (!CalibratedProbe.Both.Fitted(cups.Station) || after <= before * NotWorthTelling) yield break;
        cups.Say($"A degree changes a conductivity by 2 %, so the two cells agree less surely now. Calibrate the {Which}'s cell anew if it was calibrated by a standard, then both in one cup ('both').");
        yield return new("probes.gainRatioSd", "(a fraction)", before, after, 0);
    }

    /// <summary>What it reads of itself once it is steady, °C.</summary>
    public async Task<(double Mean, double Sd, Problem? Problem)> SteadyAsync()
    {
        var steadiness = new Steadiness(Wanted, AllowedMove, Wanted / 2, 1.0 / 16);
        var steady = await cups.SettleAsync(
            steadiness,
            look => look.Raw[_channel] is { Reason: Reason.None } sample ? (Calibrate.UncorrectedCelsius(sample.Code), sample.TakenAt.Seconds) : null,
            "Waiting for a reading of the thermometer.");
        return steady
            ? (steadiness.Mean, steadiness.SdOfMean, null)
            : (0, 0, new Problem(
                $"{Which}-thermometer", steadiness.Count > 0 ? $"still moving after {Cups.PatienceSeconds / 60:0} min" : "no reading", $"steady within {AllowedMove} °C",
                "Stir, keep it off the walls, see that it answers, and try again. The former offset stays."));
    }
}
