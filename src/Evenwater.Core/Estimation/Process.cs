namespace Evenwater.Core.Estimation;

/// <summary>
/// What is assumed about buckets, drips and probes. Every number is from simulated nights or common practice, none from a
/// measured bucket; each is one line so that it can be argued with.
/// </summary>
internal static class Process
{
    /// <summary>Length of a block, s.</summary>
    public const double BlockSeconds = 30;

    /// <summary>Rows further apart than this are a gap, s.</summary>
    public const double GapSeconds = 90;

    /// <summary>Lag of the vessel's probe behind the mixed water (plume, mixing and the probe itself), s.</summary>
    public const double ProbeLagSeconds = 1.9 * 60;

    /// <summary>That lag is known no better than this fraction: the probe may sit in the plume or behind the animals' shelter.</summary>
    public const double ProbeLagDoubt = 0.6;

    /// <summary>Random walk of ln flow, per square root hour.</summary>
    public const double FlowWalk = 0.08;

    /// <summary>Where the drift of ln flow reverts to, per hour: the head falls as the vessel fills.</summary>
    public const double DriftMean = -0.04;

    /// <summary>Spread of the drift at the start, per hour.</summary>
    public const double DriftSd = 0.12;

    /// <summary>How soon the drift reverts, h.</summary>
    public const double DriftHours = 2;

    /// <summary>Share of drips that clog steadily.</summary>
    public const double ClogShare = 0.1;

    /// <summary>Their drift, per hour.</summary>
    public const double ClogMean = -0.15;

    /// <summary>Its spread, per hour.</summary>
    public const double ClogSd = 0.15;

    /// <summary>How soon that reverts, h.</summary>
    public const double ClogHours = 8;

    /// <summary>Random walk of the ln gain ratio, per square root hour.</summary>
    public const double GainWalk = 0.003;

    /// <summary>Slow wander of the vessel's probe, as a fraction of its reading.</summary>
    public const double WanderSd = 0.0012;

    /// <summary>How soon the wander forgets, s.</summary>
    public const double WanderSeconds = 20 * 60;

    /// <summary>Random walk of the tank's own conductivity, fraction per square root hour.</summary>
    public const double TankWalk = 0.001;

    /// <summary>What the mixing model leaves out, fraction of the vessel's conductivity per square root hour.</summary>
    public const double MixingWalk = 0.0005;

    /// <summary>A block of the vessel's probe is never trusted better than this fraction.</summary>
    public const double VesselFloor = 0.0007;

    /// <summary>A block of the tank's probe is never trusted better than this fraction: its wander is correlated.</summary>
    public const double TankFloor = 0.006;

    /// <summary>Jumps of the flow, per hour.</summary>
    public const double JumpsPerHour = 0.03;

    /// <summary>Spread of a jump in ln flow.</summary>
    public const double JumpSd = 0.9;

    /// <summary>Blocks between births of jump hypotheses.</summary>
    public const int BirthBlocks = 4;

    /// <summary>Smallest and largest drip considered when the keeper did not measure it, mL/min.</summary>
    public const double SlowestDrip = 1.6;

    /// <inheritdoc cref="SlowestDrip"/>
    public const double FastestDrip = 80;

    /// <summary>How many hypotheses cover that range.</summary>
    public const int UnknownFlows = 15;

    /// <summary>How many hypotheses live on after each block.</summary>
    public const int Keep = 32;

    /// <summary>Chance that a float is stuck or wrong.</summary>
    public const double FloatFaulty = 0.02;

    /// <summary>A float's crossing is measured this much worse than its position is known: waves and hysteresis.</summary>
    public const double FloatWiden = 1.15;

    /// <summary>Chance that a block is an outlier whatever the hypothesis.</summary>
    public const double Outlier = 0.01;

    /// <summary>Beyond this many standard deviations a block is not used by a hypothesis.</summary>
    public const double GateSd = 4.5;

    /// <summary>Blocks of nearly unanimous rejection after which a probe that is healthy is believed again.</summary>
    public const int RelockBlocks = 10;

    /// <summary>A closed valve that leaks lets through one of these fractions of the flow, all alike in chance.</summary>
    public static ReadOnlySpan<double> LeakFractions => [0.10, 0.20, 0.32];

    /// <summary>Chance that the valve leaks when it closes first.</summary>
    public const double LeakChance = 0.12;

    /// <summary>How often a valve that held begins to leak, per hour closed: something swells, a grain lets go.</summary>
    public const double LeaksPerHour = 0.01;

    /// <summary>A leak below this is not told, mL/min: 12 h of it are a third of a litre, and a little misjudged evaporation looks the same.</summary>
    public const double LeastLeak = 0.5;

    /// <summary>How sure of a leak before it is told: the alarm sends somebody running.</summary>
    public const double LeakSure = 0.9;

    /// <summary>The evaporation may be misjudged by 3 mL/h all night (a lid left off); carried as a walk while closed, L per square root hour.</summary>
    public const double EvaporationWalk = 0.010;

    /// <summary>How many hypotheses of each kind, leaking and not, live on after each block while closed: the flow is not seen then.</summary>
    public const int KeepClosed = 16;
}
