using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<float>;

namespace Evenwater.Core.Estimation;

/// <summary>How the vessel's temperature goes on along eight paths side by side: the drip carries the tank's warmth in, the room takes some away (Newton's law of cooling).</summary>
internal struct WarmthPaths
{
    private const float HalfFall = (float)(0.5 * Process.ExchangeFall);
    private readonly Lanes _tank;
    private readonly Lanes _tolerance;
    private readonly Lanes _surroundings;
    private Lanes _warmth;
    private Lanes _litres;
    private Lanes _exchangePerHour;

    /// <param name="starts">Where the paths start.</param>
    /// <param name="first">The first of the paths.</param>
    /// <param name="prior">For the tolerance and the vessel's size.</param>
    /// <param name="tankCelsius">The tank's temperature, taken to stay.</param>
    public WarmthPaths(PathStarts starts, int first, Prior prior, float tankCelsius)
    {
        Followed = true;
        (_tank, _tolerance) = (Vector256.Create(tankCelsius), Vector256.Create((float)prior.TemperatureToleranceCelsius));
        _warmth = starts.At(State.Warmth, first);
        _surroundings = starts.At(State.Surroundings, first);
        _litres = starts.Litres(first);
        var middle = Vector256.Create((float)(prior.StartVolumeLitres * prior.BrimLitres));
        _exchangePerHour = starts.ExchangePerHour(first) * Vector256.Exp(HalfFall * Vector256.Log(middle / (_litres * _litres)));
        Within = Vector256.LessThanOrEqual(Vector256.Abs(_warmth - _tank), _tolerance);
        Even = Vector256.ConditionalSelect(Within, Lanes.Zero, Vector256.Create(float.PositiveInfinity));
    }

    /// <summary>Whether there is a temperature to follow.</summary>
    public bool Followed { get; }

    /// <summary>Where vessel and tank are even at the end of the step.</summary>
    public Lanes Within { get; private set; }

    /// <summary>Where in the latest step they became so, 0 to 1; 0 when they were before.</summary>
    public Lanes Share { get; private set; }

    /// <summary>Seconds until they are even first; infinite until then.</summary>
    public Lanes Even { get; private set; }

    /// <summary>The temperature the vessel would stay at with this flow and the volume as it is, °C.</summary>
    public readonly Lanes Settles(Lanes flowMillilitresPerMinute) => Target(flowMillilitresPerMinute * 0.06f / _litres, _exchangePerHour);

    /// <param name="step">The step.</param>
    /// <param name="litres">What the vessel holds at its start, L.</param>
    /// <param name="addedLitres">What runs in meanwhile, L.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Step(in GridStep step, Lanes litres, Lanes addedLitres)
    {
        var hours = step.Seconds / 3600;
        litres += 0.5f * addedLitres;
        var inflow = addedLitres / litres / hours;
        var exchange = Grow(litres);
        var target = Target(inflow, exchange);
        var before = Vector256.Abs(_warmth - _tank);
        _warmth = target + ((_warmth - target) * Vector256.Exp((inflow + exchange) * -hours));
        var after = Vector256.Abs(_warmth - _tank);
        Within = Vector256.LessThanOrEqual(after, _tolerance);
        var share = Vector256.ClampNative((before - _tolerance) / Vector256.MaxNative(before - after, Vector256.Create(1e-6f)), Lanes.Zero, Lanes.One);
        Share = Vector256.ConditionalSelect(Vector256.GreaterThan(before, _tolerance), share, Lanes.Zero);
        Even = FuturePaths.First(Even, step, Within, Share);
    }

    /// <summary>
    /// The exchange in a vessel that has come to hold this much: it falls with a power of the volume. By the Padé approximant [1/1] of that power about the
    /// volume before, within 0.05 % for a step of three tenths: a power for every step of every path is most of what a forecast would cost.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Lanes Grow(Lanes litres)
    {
        var x = (litres / _litres) - Lanes.One;
        _litres = litres;
        return _exchangePerHour *= (Lanes.One + ((0.5f - HalfFall) * x)) / (Lanes.One + ((0.5f + HalfFall) * x));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private readonly Lanes Target(Lanes inflow, Lanes exchange) =>
        ((inflow * _tank) + (exchange * _surroundings)) / Vector256.MaxNative(inflow + exchange, Vector256.Create(1e-12f));
}
