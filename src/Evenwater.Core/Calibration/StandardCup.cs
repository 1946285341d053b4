using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Core.Calibration;

/// <summary>Where a probe in a cup stands.</summary>
public enum StandardCupState
{
    /// <summary>Probe or thermometer gives no reading, or the probe conducts nothing.</summary>
    NoReading,

    /// <summary>The cup's temperature lies outside the standard's table.</summary>
    OffTable,

    /// <summary>Not enough samples yet.</summary>
    Looking,

    /// <summary>Enough samples, and the cell constant that they tell still moves, or scatters too much to say that it does not.</summary>
    Moving,

    /// <summary>Steady: <see cref="StandardCup.Reading"/> may be used.</summary>
    Steady,
}

/// <summary>
/// A conductivity probe with its thermometer in a cup of a standard, sample by sample. What must be steady is the cell constant, the standard's conductivity at each sample's own temperature over its
/// conductance: a cup that warms up moves both and not their ratio.
/// </summary>
/// <param name="standard">What is in the cup.</param>
/// <param name="standardRelativeSd">1-sigma of it, as a fraction: half of the label's tolerance.</param>
/// <param name="celsiusSd">1-sigma of the thermometer, °C.</param>
public sealed class StandardCup(ConductivityStandard standard, double standardRelativeSd, double celsiusSd)
{
    /// <summary>Samples that are looked at, one a second: three minutes, so that white noise of 0.4 % a sample does not hide a trend of what is allowed.</summary>
    public const int Wanted = 180;

    /// <summary>A trend may leave the constant off by this, as a fraction, 95 % sure.</summary>
    private const double AllowedMove = 0.003;

    /// <summary>What minutes of samples do not show: the slow wander of a cell, as a fraction. As <see cref="Probes.MatchedSd"/> of two of them, less what their scatter leaves; an assumption.</summary>
    private const double WanderSd = 0.0015;

    private readonly Steadiness _lnConstant = new(Wanted, AllowedMove, CupMatch.SlowestLag);
    private readonly Steadiness _celsius = new(Wanted, 0.1, CupMatch.SlowestLag);
    private MonotonicTime? _last;

    /// <summary>Where it stands.</summary>
    public StandardCupState State { get; private set; } = StandardCupState.NoReading;

    /// <summary>Samples so far.</summary>
    public int Count => _lnConstant.Count;

    /// <summary>Latest temperature in the cup, °C; only when there was one.</summary>
    public double LatestCelsius { get; private set; } = double.NaN;

    /// <summary>What the samples come to; only when <see cref="StandardCupState.Steady"/>.</summary>
    public StandardReading Reading
    {
        get
        {
            var celsius = _celsius.Mean;
            var conductance = StandardConductivity.MicrosiemensPerCm(standard, celsius) / Math.Exp(_lnConstant.Mean);
            return new StandardReading
            {
                Standard = standard,
                StandardRelativeSd = standardRelativeSd,
                Celsius = celsius,
                CelsiusSd = celsiusSd,
                ConductanceMicrosiemens = conductance,
                ConductanceSdMicrosiemens = conductance * Math.Sqrt((_lnConstant.SdOfMean * _lnConstant.SdOfMean) + (WanderSd * WanderSd)),
            };
        }
    }

    /// <summary>Takes a sample; the same one twice counts once.</summary>
    /// <param name="conductanceMicrosiemens">What the cell conducts, µS; null when there is no reading.</param>
    /// <param name="celsius">The thermometer beside it, corrected, °C; null when there is no reading.</param>
    /// <param name="takenAt">When the cell was read.</param>
    public StandardCupState Step(double? conductanceMicrosiemens, double? celsius, MonotonicTime takenAt)
    {
        if (celsius is { } seen) LatestCelsius = seen;
        if (conductanceMicrosiemens is not > 0 || celsius is null) return Again(StandardCupState.NoReading);
        if (!StandardConductivity.IsInRange(standard, celsius.Value)) return Again(StandardCupState.OffTable);
        if (takenAt != _last)
        {
            _last = takenAt;
            _lnConstant.Add(Math.Log(StandardConductivity.MicrosiemensPerCm(standard, celsius.Value) / conductanceMicrosiemens.Value));
            _celsius.Add(celsius.Value);
        }

        return State = Count < Wanted ? StandardCupState.Looking : _lnConstant.IsSteady ? StandardCupState.Steady : StandardCupState.Moving;
    }

    /// <summary>Why there is no calibration after all this waiting, with the range and what to do.</summary>
    /// <param name="probe">Which probe.</param>
    /// <param name="minutes">How long was waited.</param>
    public Problem WhyNot(string probe, double minutes) => State switch
    {
        StandardCupState.NoReading => new(probe, "no reading", "a cell under water and a thermometer beside it, both answering", $"See that the cell is under water and connected, and that its thermometer answers. {Stays}"),
        StandardCupState.OffTable => new($"{probe}.celsius", Findings.Text(LatestCelsius), "the standard's table: 0 to 35 °C, sea water -2 to 35 °C", $"Bring the cup to the room's temperature. {Stays}"),
        _ => new(probe, $"still moving or scattering after {minutes:0} min", $"steady within {AllowedMove * 100:0.0} %", $"Stir once, look for a bubble in the cell and a loose wire, let the cup come to the room's temperature, and try again. {Stays}"),
    };

    private const string Stays = "The former calibration stays.";

    private StandardCupState Again(StandardCupState why)
    {
        _lnConstant.Clear();
        _celsius.Clear();
        return State = why;
    }
}
