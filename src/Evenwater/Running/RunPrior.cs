using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Running;

/// <summary>What is known about a run when it begins: the station file, bettered by what the keeper has just measured.</summary>
internal static class RunPrior
{
    /// <summary>A tank measured by hand, when the keeper does not say how well. Common practice, no source.</summary>
    private const double UsualTankRelativeSd = 0.02;

    /// <summary>The longest rest between two pulses is a few minutes; a valve that is closed for longer is closed for good, s.</summary>
    private const double PacedLeakSeconds = 900;

    /// <summary>The prior of a run that is still planned: what the station file tells, the tank's water too where no probe will.</summary>
    public static Prior Expected(Station station) => Of(station, new StartKnown(TankMicrosiemensPerCm: station.Waters.TankMicrosiemensPerCm), Readings.None());

    /// <summary>The prior of one run.</summary>
    /// <param name="station">The station file.</param>
    /// <param name="known">What the keeper has measured.</param>
    /// <param name="readings">The latest readings, for a tolerance given as a fraction of the first difference.</param>
    public static Prior Of(Station station, StartKnown known, in Readings readings)
    {
        var vessel = station.Vessel;
        var start = known.StartVolumeLitres ?? vessel.StartVolumeLitres;
        return new Prior
        {
            Mode = vessel.Mode,
            StartVolumeLitres = start,
            StartVolumeRelativeSd = known.StartVolumeRelativeSd ?? (vessel.StartVolumeSdLitres / vessel.StartVolumeLitres),
            BrimLitres = vessel.BrimLitres,
            BrimRelativeSd = vessel.BrimSdLitres / vessel.BrimLitres,
            FreeboardLitres = vessel.FreeboardLitres,
            StandpipeLitres = vessel.StandpipeLitres,
            StandpipeRelativeSd = vessel is { StandpipeLitres: { } pipe, StandpipeSdLitres: { } sd } ? sd / pipe : 0.02,
            FlowMillilitresPerMinute = known.FlowMillilitresPerMinute ?? station.Drip.FlowMillilitresPerMinute,
            FlowRelativeSd = known.FlowRelativeSd ?? station.Drip.FlowRelativeSd,
            FloatLowLitres = station.Floats.LowLitres,
            FloatHighLitres = station.Floats.HighLitres,
            FloatSdLitres = station.Floats.PositionSdLitres,
            VesselAreaSquareMetres = vessel.AreaSquareMetres,
            LoadCellTareSdKilograms = station.Sensors.LoadCell?.ZeroSdKilograms ?? 0.05,
            KilogramsPerLitre = KilogramsPerLitre(station.Waters),
            LevelOffsetSdMillimetres = station.Sensors.Level?.ZeroSdMillimetres ?? 3,
            TemperatureToleranceCelsius = station.Match.TemperatureToleranceCelsius,
            ReplacedFraction = station.Match.ReplacedFraction,
            RoomCelsius = station.Room.TemperatureCelsius,
            HeatExchangeWattsPerKelvin = vessel.HeatExchangeWattsPerKelvin,
            GainRatioRelativeSd = GainRatioSd(station, known),
            ToleranceMicrosiemensPerCm = Tolerance(station, readings, known.TankMicrosiemensPerCm),
            TankMicrosiemensPerCm = station.Sensors.TankConductivity is null ? known.TankMicrosiemensPerCm : null,
            TankRelativeSd = known.TankRelativeSd ?? UsualTankRelativeSd,
            QuantisationMicrosiemensPerCm = Core.Calibration.Calibrate.StepMicrosiemensPerCm(station.Sensors.VesselConductivity),
            ValveClosesOnPowerLoss = station.Valve.OnPowerLoss == PowerLoss.Closed,
            EvaporationMillilitresPerHour = station.Evaporation.MillilitresPerHour,
            LeaksAfterClosedSeconds = station.Pacing is null ? 0 : PacedLeakSeconds,
            DrawOffs = station.DrawOffs,
            DropMillilitres = station.Drip.DropMillilitres,
            DropRelativeSd = station.Drip.DropRelativeSd,
        };
    }

    /// <summary>How well the ratio of the two probes' gains is known, as a fraction.</summary>
    public static double GainRatioSd(Station station, StartKnown known) => known.GainRatioSd ?? known.ProbesMatched switch
    {
        true => Probes.MatchedSd,
        false => Probes.UnmatchedSd,
        null => station.Probes.GainRatioSd,
    };

    /// <summary>The tolerance, µS/cm at 25 °C.</summary>
    /// <param name="station">The station file.</param>
    /// <param name="readings">The latest readings.</param>
    /// <param name="tankByHand">The tank as measured by hand, when there is no probe in it, µS/cm.</param>
    public static double Tolerance(Station station, in Readings readings, double? tankByHand = null)
    {
        if (station.Match.ToleranceMicrosiemensPerCm is { } absolute)
        {
            return absolute;
        }

        double? inTank = readings[Channel.TankConductivity].TryGet(out var read) ? read : tankByHand;
        var difference = readings[Channel.VesselConductivity].TryGet(out var vessel) && inTank is { } tank
            ? vessel - tank
            : station.Waters.BagMicrosiemensPerCm - station.Waters.TankMicrosiemensPerCm;
        return Math.Max(Math.Abs(difference * station.Match.ToleranceFractionOfDifference!.Value), 1);
    }

    /// <summary>
    /// What a litre of the vessel's water weighs, kg, half way from the bag's to the tank's: a scale that takes sea water for fresh tells 2 % too many litres.
    /// By PSS-78 and EOS-80; fresh water of another mix of ions is no further from pure than its thousandth.
    /// </summary>
    private static double KilogramsPerLitre(Waters waters) =>
        0.5 * (KilogramsPerLitre(waters.BagMicrosiemensPerCm, waters.BagTemperatureCelsius) + KilogramsPerLitre(waters.TankMicrosiemensPerCm, waters.TankTemperatureCelsius));

    private static double KilogramsPerLitre(double microsiemensPerCm, double celsius)
    {
        var salinity = PracticalSalinity.IsInRange(microsiemensPerCm / 1000, 25) ? PracticalSalinity.Of(microsiemensPerCm / 1000, 25) : PracticalSalinity.Max;
        return SeaDensity.KilogramsPerCubicMetre(salinity, Math.Clamp(celsius, SeaDensity.MinCelsius, SeaDensity.MaxCelsius)) / 1000;
    }
}
