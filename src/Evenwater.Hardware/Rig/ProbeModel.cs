using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Hardware.Rig;

/// <summary>
/// A conductivity cell and its front end, from the water to the voltage at the ADC: volts = excitation × conductance × feedback
/// resistance, conductance = conductivity at the water's own temperature / cell constant. The water follows the law that the
/// station file names for it.
/// </summary>
internal sealed class ProbeModel(ConductivityInput input, ProbeFacts facts)
{
    /// <summary>The rectifier's offset, V: what an unplugged cell reads. An assumption.</summary>
    private const double OffsetVolts = 0.0002;

    /// <summary>It is never still, V: one of the converter's counts. If it were, each unplugged cell would be found as one that hangs. An assumption.</summary>
    private const double FlickerVolts = 62.5e-6;

    private double _ec25;
    private double _wander;
    private bool _inCup;
    private int _flicker;

    /// <summary>At the ADC's input, V.</summary>
    public double Volts { get; private set; }

    /// <summary>Starts with the cell settled in this water.</summary>
    public void Settle(double ec25, double celsius)
    {
        _ec25 = ec25;
        Volts = VoltsOf(_ec25, celsius);
    }

    /// <summary>Follows the water for one step.</summary>
    /// <param name="seconds">The step.</param>
    /// <param name="ec25">The water at the cell, µS/cm at 25 °C.</param>
    /// <param name="celsius">Its temperature.</param>
    /// <param name="trouble">What is wrong with the probe.</param>
    /// <param name="random">The night's generator.</param>
    /// <param name="inCup">Whether it stands in a cup, whose <paramref name="ec25"/> is by the natural-water function whatever the station's law.</param>
    public void Step(double seconds, double ec25, double celsius, in ProbeTrouble trouble, ref Pcg random, bool inCup)
    {
        _inCup = inCup;
        _ec25 += (ec25 - _ec25) * (facts.LagSeconds > 0 ? (1 - Math.Exp(-seconds / facts.LagSeconds)) : 1);
        var kept = Math.Exp(-seconds / facts.WanderSeconds);
        _wander = (kept * _wander) + (facts.Wander * Math.Sqrt(1 - (kept * kept)) * random.NextNormal());
        var noise = 1 + _wander + (trouble.NoiseFactor * facts.Noise * random.NextNormal());
        if (!trouble.Stuck)
        {
            _flicker = (_flicker + 1) % 3; // two steps are a second, and no look shall always see the same
            var open = OffsetVolts + (_flicker == 0 ? FlickerVolts : 0);
            Volts = trouble.Open ? open : Math.Max(open, trouble.Gain * noise * VoltsOf(_ec25, celsius));
        }
    }

    /// <summary>Warmer or saltier water conducts as well; what it is worth at 25 °C no reader of the scale can tell.</summary>
    private static bool IsOnScale(double ec25, double celsius) => SeaWaterCompensation.IsInRange(ec25, 25) && PracticalSalinity.IsTemperatureInRange(celsius);

    private double VoltsOf(double ec25, double celsius)
    {
        var kappa = _inCup ? NaturalWater.From25(ec25, celsius) : input.Compensation switch
        {
            Compensation.Linear => LinearCompensation.From25(ec25, celsius, input.AlphaPerKelvin),
            Compensation.SeaWater when IsOnScale(ec25, celsius) => SeaWaterCompensation.From25(ec25, celsius),
            _ => NaturalWater.From25(ec25, celsius),
        };
        var siemens = facts.Gain * kappa * 1e-6 / input.CellConstantPerCm;
        return (input.ExcitationVolts * siemens * input.FeedbackOhms) + facts.OffsetVolts;
    }
}
