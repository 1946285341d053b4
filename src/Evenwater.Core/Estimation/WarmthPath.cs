namespace Evenwater.Core.Estimation;

/// <summary>How the vessel's temperature goes on along one path: the drip carries the tank's warmth in, the room takes some away (Newton's law of cooling).</summary>
internal struct WarmthPath
{
    private readonly double _tank;
    private readonly double _tolerance;
    private readonly double _surroundings;
    private double _warmth;
    private double _litres;
    private double _exchangePerHour;

    /// <param name="x">The path's draw of the state.</param>
    /// <param name="prior">For the tolerance and the vessel's size.</param>
    /// <param name="tankCelsius">The tank's temperature, taken to stay.</param>
    /// <param name="litres">What the vessel holds, L.</param>
    public WarmthPath(ReadOnlySpan<double> x, Prior prior, double tankCelsius, double litres)
    {
        Followed = true;
        (_tank, _tolerance) = (tankCelsius, prior.TemperatureToleranceCelsius);
        _warmth = x[State.Warmth];
        _surroundings = x[State.Surroundings];

        _litres = litres;
        _exchangePerHour = Math.Exp(Math.Clamp(x[State.LnExchange], -8, 3))
            * Math.Pow(prior.StartVolumeLitres * prior.BrimLitres / (litres * litres), 0.5 * Process.ExchangeFall);
        Within = Math.Abs(_warmth - _tank) <= _tolerance;
        Even = Within ? 0 : Quantiles.Beyond;
    }

    /// <summary>Whether there is a temperature to follow.</summary>
    public bool Followed { get; }

    /// <summary>Whether vessel and tank are even at the end of the step.</summary>
    public bool Within { get; private set; }

    /// <summary>Where in the latest step they became so, 0 to 1; 0 when they were before.</summary>
    public double Share { get; private set; }

    /// <summary>Seconds until they are even first; infinite until then.</summary>
    public double Even { get; private set; }

    /// <summary>The temperature the vessel would stay at with this flow and the volume as it is, °C.</summary>
    public readonly double Settles(double flowMillilitresPerMinute) => Target(flowMillilitresPerMinute * 0.06 / _litres, _exchangePerHour);

    /// <param name="step">The step.</param>
    /// <param name="litres">What the vessel holds at its start, L.</param>
    /// <param name="addedLitres">What runs in meanwhile, L.</param>
    public void Step(in GridStep step, double litres, double addedLitres)
    {
        var hours = step.Seconds / 3600;
        litres += 0.5 * addedLitres;
        var inflow = addedLitres / litres / hours;
        var exchange = Grow(litres);
        var target = Target(inflow, exchange);
        var before = Math.Abs(_warmth - _tank);
        _warmth = target + ((_warmth - target) * Math.Exp(-(inflow + exchange) * hours));
        var after = Math.Abs(_warmth - _tank);
        Within = after <= _tolerance;
        Share = before > _tolerance ? Math.Clamp((before - _tolerance) / Math.Max(before - after, 1e-9), 0, 1) : 0;
        Even = double.IsInfinity(Even) && Within ? step.Start + (step.Seconds * Share) : Even;
    }

    /// <summary>
    /// The exchange in a vessel that has come to hold this much: it falls with a power of the volume. By the Padé approximant [1/1] of that power about the
    /// volume before, within 0.05 % for a step of three tenths: a power for every step of every path is most of what a forecast would cost.
    /// </summary>
    private double Grow(double litres)
    {
        var x = (litres / _litres) - 1;
        _litres = litres;
        return _exchangePerHour *= (1 + (0.5 * (1 - Process.ExchangeFall) * x)) / (1 + (0.5 * (1 + Process.ExchangeFall) * x));
    }

    private readonly double Target(double inflow, double exchange) => ((inflow * _tank) + (exchange * _surroundings)) / Math.Max(inflow + exchange, 1e-12);
}
