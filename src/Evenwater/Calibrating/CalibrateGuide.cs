using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;

namespace Evenwater.Calibrating;

/// <summary>Leads through one calibration, whichever it is; changes nothing.</summary>
/// <param name="station">The station as it is calibrated now.</param>
/// <param name="probes">Its probes.</param>
/// <param name="standing">The calibrations that stand.</param>
/// <param name="say">Tells the keeper a line.</param>
/// <param name="wait">Tells the keeper what to do, and waits until it is done.</param>
/// <param name="answer">Puts a question and gives the line that is answered; null where nobody can be asked.</param>
internal sealed class CalibrateGuide(Station station, ILiveProbes probes, IReadOnlyList<CalibrationRecord> standing, Action<string> say, Func<string, Task> wait, Func<string, string>? answer = null)
{
    private readonly Cups _cups = new(station, probes, say, wait);

    /// <summary>Goes through it.</summary>
    /// <param name="ask">What is wanted; found to be in order.</param>
    public async Task<Outcome<Found>> RunAsync(CalibrateAsk ask)
    {
        var probe = ask.Known!;
        if (await probes.LookAsync() is not { } first)
        {
            return new Problem(probe.Name, "no answer", "a station whose probes can be read", "See that the daemon runs, or stop it.");
        }

        if (first.Running && probe != CalibratedProbe.Drops)
        {
            return new Problem(probe.Name, $"{station.Name} has a run", "a station at rest", "Finish the run first: its probes stay where they are. That of a proof test that was broken off ends by itself within half a minute. The former calibration stays.");
        }

        if (!first.Running && probe == CalibratedProbe.Drops && ask.Drops is null)
        {
            return new Problem(probe.Name, $"{station.Name} has no run", "a run that drips", "The valve is closed, and no drop falls: begin a run that somebody stays beside and calibrate in it, or count by eye and say --drops. The former calibration stays.");
        }

        var vessel = probe == CalibratedProbe.VesselConductivity || probe == CalibratedProbe.VesselThermometer;
        var outcome = probe.Name switch
        {
            "vessel-thermometer" or "tank-thermometer" => await new ThermometerGuide(_cups, vessel).RunAsync(ask.ReferenceCelsius, ask.ReferenceSd),
            "both" => await new BothGuide(_cups).RunAsync(),
            "load-cell" => await new VolumeGuide(_cups, standing).ScaleAsync(ask.Litres, ask.LitresSd, ask.WaterCelsius),
            "level" => await new VolumeGuide(_cups, standing).LevelAsync(ask.Litres, ask.LitresSd),
            "drops" => await new VolumeGuide(_cups, standing).DropsAsync(ask.Millilitres!.Value, ask.Drops),
            _ => await CellAsync(ask, vessel),
        };
        return _cups.Ended is { } ended ? ended : outcome; // it is not the probe that did not settle
    }

    private async Task<Outcome<Found>> CellAsync(CalibrateAsk ask, bool vessel)
    {
        if (!vessel && station.Sensors.TankThermometer is null)
        {
            return new Problem("sensors.tankThermometer", "not given", "a thermometer that goes into the cup with the probe", "A standard is known only at its temperature. The former calibration stays.");
        }

        var input = vessel ? station.Sensors.VesselConductivity : station.Sensors.TankConductivity!;
        var standards = ask.Standards.Select(name => Standards.Named(name).Standard).ToList();
        var standardSd = ask.TolerancePercent / 100 / 2;
        var cell = new CellGuide(_cups, vessel, Calibrations.CelsiusSd(standing, vessel), ask.SimulatedCupCelsius);
        return ask.Check
            ? await new DriftGuide(_cups, vessel, cell, answer).RunAsync(standards[0], standardSd, ask.MeterBefore, ask.MeterAfter)
            : await cell.RunAsync(standards, standardSd, ask.NominalPerCm ?? CellCalibration.Nominal(input.CellConstantPerCm), sd => Calibrations.GainRatioSd(standing, vessel, sd));
    }
}
