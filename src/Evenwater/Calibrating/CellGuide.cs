using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Calibrating;

/// <summary>A conductivity cell by one or two standards, each at the temperature it has.</summary>
/// <param name="cups">Hands and patience.</param>
/// <param name="vessel">The vessel's cell; else the tank's.</param>
/// <param name="celsiusSd">1-sigma of the thermometer beside it, °C.</param>
/// <param name="simulatedCelsius">Temperature of simulated cups.</param>
internal sealed class CellGuide(Cups cups, bool vessel, double celsiusSd, double simulatedCelsius)
{
    private const int BaselineLooks = 20;

    /// <summary>Where every standard's table ends, °C: a front end that ends at the standard's 25 °C would have no reading in a warm room.</summary>
    private const double WarmestCelsius = 35;

    private readonly Channel _channel = vessel ? Channel.VesselConductivity : Channel.TankConductivity;
    private readonly Channel _warm = vessel ? Channel.VesselTemperature : Channel.TankTemperature;
    private readonly ConductivityInput _input = vessel ? cups.Station.Sensors.VesselConductivity : cups.Station.Sensors.TankConductivity!;
    private readonly ConductivityInput? _otherInput = vessel ? cups.Station.Sensors.TankConductivity : cups.Station.Sensors.VesselConductivity;
    private readonly double _offset = vessel ? cups.Station.Sensors.VesselThermometerOffsetCelsius : cups.Station.Sensors.TankThermometerOffsetCelsius;
    private double? _before;
    private double? _otherBefore;

    private string Probe => vessel ? "vessel-conductivity" : "tank-conductivity";

    private Channel OtherChannel => vessel ? Channel.TankConductivity : Channel.VesselConductivity;

    /// <summary>Goes through it.</summary>
    /// <param name="standards">One or two.</param>
    /// <param name="standardRelativeSd">1-sigma of each, as a fraction.</param>
    /// <param name="nominalPerCm">What the probe was sold as, 1/cm.</param>
    /// <param name="gainRatioSd">How well both cells agree afterwards, by this cell's own spread.</param>
    public async Task<Outcome<Found>> RunAsync(IReadOnlyList<ConductivityStandard> standards, double standardRelativeSd, double nominalPerCm, Func<double, double> gainRatioSd)
    {
        foreach (var standard in standards)
        {
            if (TooStrong(standard) is { } tooStrong) return tooStrong;
        }

        await BaselineAsync();
        var read = new List<StandardReading>();
        Problem? problem = null;
        foreach (var standard in standards)
        {
            var (reading, wrong) = await InAsync(standard, standardRelativeSd, nominalPerCm);
            if (wrong is not null)
            {
                problem = wrong;
                break;
            }

            read.Add(reading!);
        }

        await cups.DoAsync("out", "Rinse the probe with plain water and put it, with its thermometer, back into its own water.");
        if (problem is { } refusal) return refusal;
        var outcome = read.Count == 1 ? CellCalibration.ByOne(nominalPerCm, read[0]) : CellCalibration.ByTwo(nominalPerCm, read[0], read[1]);
        if (outcome.Found is not { } cell) return outcome.Refusal!.Value;
        var key = vessel ? "sensors.vesselConductivity" : "sensors.tankConductivity";
        List<CalibratedValue> values =
        [
            new($"{key}.cellConstantPerCm", "1/cm", _input.CellConstantPerCm, cell.PerCm, cell.PerCmSd),
            new($"{key}.offsetMicrosiemensPerCm", "µS/cm", _input.OffsetMicrosiemensPerCm, cell.OffsetMicrosiemensPerCm, cell.OffsetSdMicrosiemensPerCm),
        ];
        if (_otherInput is not null)
        {
            values.Add(new("probes.gainRatioSd", "(a fraction)", cups.Station.Probes.GainRatioSd, gainRatioSd(cell.PerCmSd / cell.PerCm), 0));
        }

        return new Found(values, string.Join("; ", read.Select(r => $"{StandardNames.Of(r.Standard)} at {r.Celsius:0.00} °C: {r.ConductanceMicrosiemens:0.##} µS, {r.CellConstantPerCm:0.0000} 1/cm")));
    }

    /// <summary>A standard that would drive the front end out of its range, as far as the file's constant tells: it would be no reading at all.</summary>
    public Problem? TooStrong(ConductivityStandard standard)
    {
        var (kappa, most) = (StandardConductivity.MicrosiemensPerCm(standard, 25), _input.FullScaleVolts / (_input.ExcitationVolts * _input.FeedbackOhms) * 1e6 * _input.CellConstantPerCm);
        return kappa <= most ? null : new Problem(
            "--standard", $"{StandardNames.Of(standard)}, {kappa:0} µS/cm at 25 °C", $"up to {most:0} µS/cm, where this front end ends",
            $"Take a weaker one, or a front end with feedbackOhms of {Math.Floor(_input.FeedbackOhms * most / StandardConductivity.MicrosiemensPerCm(standard, WarmestCelsius)):0} or less. The former calibration stays.");
    }

    /// <summary>The probe in one standard until it is steady.</summary>
    public async Task<(StandardReading? Reading, Problem? Problem)> InAsync(ConductivityStandard standard, double standardRelativeSd, double nominalPerCm)
    {
        await cups.DipAsync(vessel, standard, simulatedCelsius);
        var cup = new StandardCup(standard, standardRelativeSd, celsiusSd);
        var told = (Text: "", Count: 0);
        LiveLook? last = null;
        var steady = await cups.LookAsync(look =>
        {
            last = look;
            var state = cup.Step(Cups.Conductance(look.Raw, _channel, _input), Cups.Celsius(look.Raw, _warm, _offset), look.Raw[_channel].TakenAt);
            cups.Tell(ref told, Words(state, cup), cup.Count, StandardCup.Wanted);
            return state == StandardCupState.Steady;
        });
        if (last is not null && Swapped(standard, nominalPerCm, last, cup) is { } swapped) return (null, swapped);
        return steady ? (cup.Reading, null) : (null, cup.WhyNot(Probe, Cups.PatienceSeconds / 60));
    }

    /// <summary>How both cells read before anything is moved, so that it is seen which one was.</summary>
    public async Task BaselineAsync()
    {
        var looks = 0;
        await cups.LookAsync(look =>
        {
            _before = Cups.Conductance(look.Raw, _channel, _input) ?? _before;
            _otherBefore = Cups.Conductance(look.Raw, OtherChannel, _otherInput) ?? _otherBefore;
            return (_before is not null && (_otherBefore is not null || _otherInput is null)) || ++looks >= BaselineLooks;
        });
    }

    private Problem? Swapped(ConductivityStandard standard, double nominalPerCm, LiveLook last, StandardCup cup)
    {
        if (_otherInput is not { } other || Cups.Conductance(last.Raw, OtherChannel, other) is not { } otherNow) return null;
        return SwappedProbes.Refusal(
            Probe, standard,
            new CellSeen(nominalPerCm, _before, Cups.Conductance(last.Raw, _channel, _input) ?? 0, cup.LatestCelsius),
            new CellSeen(CellCalibration.Nominal(other.CellConstantPerCm), _otherBefore, otherNow, cup.LatestCelsius));
    }

    private static string Words(StandardCupState state, StandardCup cup) => state switch
    {
        StandardCupState.NoReading => "Waiting for a reading of probe and thermometer.",
        StandardCupState.OffTable => $"The cup is at {cup.LatestCelsius:0.0} °C, outside the standard's table; waiting.",
        StandardCupState.Looking => "Reading:",
        StandardCupState.Moving => "Still moving, or scattering too much to say that it does not; going on.",
        StandardCupState.Steady => $"Steady, at {cup.LatestCelsius:0.0} °C.",
        _ => throw new ArgumentOutOfRangeException(nameof(state), state, "no words for this state"),
    };
}
