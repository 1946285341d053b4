namespace Evenwater.Core.Estimation;

/// <summary>How far the estimate may be believed.</summary>
public enum Health : byte
{
    /// <summary>All evidence is in use.</summary>
    Ok,

    /// <summary>Some evidence is missing or distrusted; the ranges are wider for it.</summary>
    Degraded,

    /// <summary>Too little evidence to forecast.</summary>
    Blind,
}

/// <summary>What was newly recognised at one evaluation.</summary>
[Flags]
public enum ForecastEvents
{
    /// <summary>Nothing new.</summary>
    None = 0,

    /// <summary>The flow has jumped up.</summary>
    FlowUp = 1,

    /// <summary>The flow has dropped.</summary>
    FlowDown = 2,

    /// <summary>Water runs although the valve is closed.</summary>
    Leak = 4,

    /// <summary>The tank's own water is changing.</summary>
    TankChange = 8,

    /// <summary>The vessel's probe is not believed.</summary>
    ProbeVessel = 16,

    /// <summary>The tank's probe is not believed.</summary>
    ProbeTank = 32,

    /// <summary>The two probes seem to be swapped.</summary>
    Swapped = 64,
}

/// <summary>
/// Five quantiles of one quantity. For times: seconds from the evaluation, 0 when already reached,
/// <see cref="Beyond"/> when the quantile lies beyond 48 h or is never reached.
/// </summary>
public readonly record struct Quantiles(double P05, double P25, double P50, double P75, double P95)
{
    /// <summary>A time beyond the horizon of 48 h.</summary>
    public const double Beyond = double.PositiveInfinity;

    /// <summary>The horizon, s.</summary>
    public const double HorizonSeconds = 48 * 3600;

    /// <summary>All five beyond the horizon.</summary>
    public static Quantiles Never => new(Beyond, Beyond, Beyond, Beyond, Beyond);

    /// <summary>Whether the range is too wide to give as an answer: p95/p05 more than 8, or the median beyond the horizon while p05 is not.</summary>
    public bool CannotTell => !double.IsPositiveInfinity(P05)
        && (double.IsPositiveInfinity(P50) || (P50 > 0 && P95 > 8 * Math.Max(P05, 1)));
}

/// <summary>One evaluation of the estimator: a distribution over the future, not a number.</summary>
public readonly record struct Forecast
{
    /// <summary>When it was evaluated.</summary>
    public MonotonicTime At { get; init; }

    /// <summary>Water in the vessel, L.</summary>
    public Quantiles VolumeLitres { get; init; }

    /// <summary>Inflow while the valve is open, mL/min.</summary>
    public Quantiles FlowMillilitresPerMinute { get; init; }

    /// <summary>Time until vessel and tank are even in conductivity, s.</summary>
    public Quantiles MatchSeconds { get; init; }

    /// <summary>Time until they are even in temperature, s; null when a thermometer is missing.</summary>
    public Quantiles? TemperatureMatchSeconds { get; init; }

    /// <summary>Time until they are even in both, s; null when a thermometer is missing.</summary>
    public Quantiles? JointMatchSeconds { get; init; }

    /// <summary>The temperature the vessel would settle at with the drip as it is, °C; null when a thermometer is missing.</summary>
    public Quantiles? SettlingCelsius { get; init; }

    /// <summary>Share of the vessel's water that came from the tank, 0 to 1: 1 - V0/V for a plain fill.</summary>
    public Quantiles ReplacedFraction { get; init; }

    /// <summary>The share that is wanted, 0 to 1.</summary>
    public double ReplacedWanted { get; init; }

    /// <summary>Time until it is reached, s; null unless the match is judged by it.</summary>
    public Quantiles? ReplacedSeconds { get; init; }

    /// <summary>Probability that it is so now, 0 to 1.</summary>
    public double ReplacedProbability { get; init; }

    /// <summary>Whether the two waters were so close at the start that the match is judged by the replaced fraction.</summary>
    public bool JudgedByReplacedFraction { get; init; }

    /// <summary>Time until they are even in what the match is judged by, s: the replaced share or the conductivity.</summary>
    public Quantiles EvenSeconds => this is { JudgedByReplacedFraction: true, ReplacedSeconds: { } replaced } ? replaced : MatchSeconds;

    /// <summary>Probability that they are so now, 0 to 1.</summary>
    public double EvenProbability => JudgedByReplacedFraction ? ReplacedProbability : MatchedProbability;

    /// <summary>Time until the water reaches the brim less the freeboard, s.</summary>
    public Quantiles BrimSeconds { get; init; }

    /// <summary>Probability that vessel and tank are even in conductivity now, 0 to 1.</summary>
    public double MatchedProbability { get; init; }

    /// <summary>Probability that brim less freeboard is passed within the station's trip horizon, 0 to 1.</summary>
    public double BrimProbability { get; init; }

    /// <summary>
    /// Probability that it is passed within 800 s although nothing jumps, 0 to 1: what a warning is given by, so that a surge
    /// that may come some night does not warn every night.
    /// </summary>
    public double QuietBrimProbability { get; init; }

    /// <summary>The same within 600 s, whatever the station's horizon.</summary>
    public double BrimProbabilityTenMinutes { get; init; }

    /// <summary>How far this may be believed.</summary>
    public Health Health { get; init; }

    /// <summary>Why it is not <see cref="Health.Ok"/>: the reason of the vessel's probe, then of the tank's.</summary>
    public Reason VesselReason { get; init; }

    /// <summary>The reason of the tank's probe.</summary>
    public Reason TankReason { get; init; }

    /// <summary>Whether the two conductivity probes hang in each other's water; their readings are exchanged before they are used.</summary>
    public bool ProbesSwapped { get; init; }

    /// <summary>By which factor the flow has jumped; 1 unless that was newly recognised.</summary>
    public double FlowFactor { get; init; }

    /// <summary>What was newly recognised.</summary>
    public ForecastEvents Events { get; init; }
}
