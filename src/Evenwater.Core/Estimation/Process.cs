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

    /// <summary>
    /// That lag is different at every moment by this fraction. Small: it widens what is expected most for those who hold that the lag is long, and who expects
    /// less narrowly loses weight even when right all along. At 0.3 a surge nobody had made won the first half hour of a night by its shorter lag alone.
    /// </summary>
    public const double ProbeLagDoubt = 0.1;

    /// <summary>And it may be a multiple of the usual all night: the probe may sit in the plume or behind the animals' shelter.</summary>
    public const double LagShareSd = 1;

    /// <summary>Corners of the vessel exchange with the rest in about this time, s.</summary>
    public const double SlowSeconds = 900;

    /// <summary>Share of the vessel they are, where the drip stirs it well.</summary>
    public const double SlowShareMean = 0.06;

    /// <summary>Spread of that share.</summary>
    public const double SlowShareSd = 0.06;

    /// <summary>Vessels in which the new water stays apart for long: a plume past the probe, layers.</summary>
    public const double LayeredChance = 0.12;

    /// <summary>The share in those.</summary>
    public const double LayeredMean = 0.2;

    /// <summary>Its spread.</summary>
    public const double LayeredSd = 0.3;

    /// <summary>Share of fresh tank water in what the vessel's probe touches while the drip runs.</summary>
    public const double TouchMean = 0.003;

    /// <summary>Its spread.</summary>
    public const double TouchSd = 0.01;

    /// <summary>So soon it comes when the drip begins, and goes when it ends, s.</summary>
    public const double TouchSeconds = 40;

    /// <summary>Probes that hang in the plume itself.</summary>
    public const double PlumeChance = 0.02;

    /// <summary>The share in those.</summary>
    public const double PlumeMean = 0.12;

    /// <summary>Its spread.</summary>
    public const double PlumeSd = 0.08;

    /// <summary>Random walk of the multiple of the lag, per square root hour.</summary>
    public const double LagShareWalk = 0.1;

    /// <summary>Random walk of ln flow, per square root hour.</summary>
    public const double FlowWalk = 0.05;

    /// <summary>Where the steady drift of ln flow lies, per hour: a drip slows a little.</summary>
    public const double DriftMean = -0.03;

    /// <summary>Spread of the drift at the start, per hour.</summary>
    public const double DriftSd = 0.04;

    /// <summary>How soon the drift reverts, h.</summary>
    public const double DriftHours = 24;

    /// <summary>Random walk of the drift, per hour and square root hour.</summary>
    public const double DriftWalk = 0.01;

    /// <summary>Share of the flow lost when the water has risen by a whole brim: the surface in the tank is only so much higher.</summary>
    public const double HeadMean = 0.15;

    /// <summary>Spread of that share.</summary>
    public const double HeadSd = 0.15;

    /// <summary>Share of drips that clog steadily from the start.</summary>
    public const double ClogShare = 0.04;

    /// <summary>Their drift, per hour.</summary>
    public const double ClogMean = -0.25;

    /// <summary>Its spread, per hour.</summary>
    public const double ClogSd = 0.2;

    /// <summary>How soon that reverts, h.</summary>
    public const double ClogHours = 24;

    /// <summary>Drips that begin to clog, per hour.</summary>
    public const double ClogsPerHour = 0.002;

    /// <summary>Surges that may be going on unnoticed, per hour: a siphon that pulls freely, a clamp that slips.</summary>
    public const double SurgesPerHour = 0.04;

    /// <summary>
    /// Surges that a forecast reckons with, per hour: more than one would look for now. A night that is judged has some trouble that brings the end
    /// nearer (a surge, a draw-off, water changed in the tank) far more often than one that puts it off.
    /// </summary>
    public const double FutureSurgesPerHour = 0.10;

    /// <summary>Blockings that a forecast reckons with, per hour.</summary>
    public const double FutureBlocksPerHour = 0.01;

    /// <summary>A surge in ln flow, and its spread.</summary>
    public const double SurgeMean = 1.0;

    /// <inheritdoc cref="SurgeMean"/>
    public const double SurgeSd = 0.45;

    /// <summary>How much more the drift after a jump is in doubt, per hour.</summary>
    public const double JumpDriftSd = 0.2;

    /// <summary>How well ln flow must be known to go on without the vessel's probe: a child of a jump nobody could see makes it worse with every minute.</summary>
    public const double KnownFlowSd = 0.35;

    /// <summary>How sure of a jump before it is told.</summary>
    public const double JumpSure = 0.7;

    /// <summary>Sudden blockings, per hour.</summary>
    public const double BlocksPerHour = 0.05;

    /// <summary>One of them in ln flow, and its spread.</summary>
    public const double BlockMean = -1.1;

    /// <inheritdoc cref="BlockMean"/>
    public const double BlockSd = 0.6;

    /// <summary>Spread of a jump of what leaks, in ln flow.</summary>
    public const double LeakJumpSd = 0.9;

    /// <summary>Random walk of the ln gain of the vessel's probe: animals, slime and bubbles are about it. Per square root hour.</summary>
    public const double VesselGainWalk = 0.0012;

    /// <summary>The same of the tank's probe, which hangs in clear water.</summary>
    public const double TankGainWalk = 0.0008;

    /// <summary>Slow wander of the vessel's probe, as a fraction of its reading.</summary>
    public const double WanderSd = 0.0016;

    /// <summary>How soon a wander forgets, s.</summary>
    public const double WanderSeconds = 20 * 60;

    /// <summary>Random walk of the tank's own conductivity, fraction per square root hour.</summary>
    public const double TankWalk = 0.004;

    /// <summary>The same, as far as it goes on in one direction and is foreseen.</summary>
    public const double TankFuture = 0.001;

    /// <summary>When the tank's reading changes: the chance that only its probe does.</summary>
    public const double TankProbeFaulty = 0.03;

    /// <summary>Chance that the vessel's probe misleads from the start: it hangs in the plume, or where the water does not come.</summary>
    public const double VesselMisleads = 0.02;

    /// <summary>How often the vessel's probe begins to drift, per hour: slime, a bubble, an animal on it. No reading of its own shows that.</summary>
    public const double VesselDriftsPerHour = 0.02;

    /// <summary>Who holds that never weighs more than this without other evidence: it speaks for the floor, not for the forecast.</summary>
    public const double VesselDriftsMost = 0.04;

    /// <summary>When nobody expects what the vessel's probe reads: the chance that it is the probe, and not the water or an outlier.</summary>
    public const double ProbeShifts = 0.5;

    /// <summary>How often the vessel's probe shifts all at once, per hour: a bubble comes or goes, somebody moves it.</summary>
    public const double ShiftsPerHour = 0.005;

    /// <summary>By how much, as a fraction of its reading.</summary>
    public const double ShiftSd = 0.04;

    /// <summary>How many of them live on.</summary>
    public const int KeepDoubting = 2;

    /// <summary>So long a run waits for the tank's probe before it goes on without, s.</summary>
    public const double TankPatienceSeconds = 120;

    /// <summary>How far a tank's water may be from the vessel's when nobody measured it, as a fraction.</summary>
    public const double TankIgnorance = 0.8;

    /// <summary>So long the probe that has just come into the tank from the vessel is not heard, s: four times the lag of a slow one. Common practice, no source.</summary>
    public const double SettleSeconds = 600;

    /// <summary>What the mixing model leaves out, fraction of the vessel's conductivity per square root hour.</summary>
    public const double MixingWalk = 0.0005;

    /// <summary>A block of the vessel's probe is never trusted better than this fraction.</summary>
    public const double VesselFloor = 0.0007;

    /// <summary>A block of the tank's probe is never trusted better than this fraction: its wander is correlated.</summary>
    public const double TankFloor = 0.005;

    /// <summary>Blocks between births of jump hypotheses.</summary>
    public const int BirthBlocks = 4;

    /// <summary>Smallest and largest drip considered when the keeper did not measure it, mL/min.</summary>
    public const double SlowestDrip = 1.6;

    /// <inheritdoc cref="SlowestDrip"/>
    public const double FastestDrip = 80;

    /// <summary>How many hypotheses cover that range.</summary>
    public const int UnknownFlows = 15;

    /// <summary>How many hypotheses live on after each block.</summary>
    public const int Keep = 12;

    /// <summary>How many of them live on at first where nobody timed the flow: a few noisy blocks do not tell yet which flow it is.</summary>
    public const int KeepUnknown = 40;

    /// <summary>For so many blocks: half an hour.</summary>
    public const int UnknownBlocks = 60;

    /// <summary>What the heat balance leaves out, °C per square root hour.</summary>
    public const double WarmthWalk = 0.15;

    /// <summary>A block of a thermometer is never trusted better than this, °C.</summary>
    public const double WarmthFloor = 0.02;

    /// <summary>Likelihood of a block of a thermometer that is an outlier, per °C.</summary>
    public const double WarmthOutlier = 0.01;

    /// <summary>Random walk of ln heat exchange, per square root hour: the wetted wall grows.</summary>
    public const double ExchangeWalk = 0.12;

    /// <summary>
    /// The exchange per litre falls as the vessel fills with this power of the volume: 0 if the wetted wall grew as the volume does, 1 if
    /// it did not grow at all.
    /// </summary>
    public const double ExchangeFall = 0.4;

    /// <summary>ln of how well the heat exchange is known before the run.</summary>
    public const double ExchangeSd = 0.8;

    /// <summary>The room when nobody said, °C.</summary>
    public const double RoomMean = 21.5;

    /// <summary>How well it is known then, °C; and when somebody said.</summary>
    public const double RoomSd = 2.5;

    /// <inheritdoc cref="RoomSd"/>
    public const double RoomKnownSd = 1.5;

    /// <summary>Random walk of the room's temperature, °C per square root hour.</summary>
    public const double SurroundingsWalk = 0.25;

    /// <summary>Creep of a load cell's zero, kg per square root hour.</summary>
    public const double TareWalk = 0.012;

    /// <summary>A block of a load cell is never trusted better than this, kg.</summary>
    public const double MassFloor = 0.003;

    /// <summary>Creep of a level sensor's zero and of the area it is multiplied with, mm per square root hour.</summary>
    public const double LevelWalk = 1.0;

    /// <summary>A block of a level sensor is never trusted better than this, mm.</summary>
    public const double LevelFloor = 0.5;

    /// <summary>Drops faster than this run together and are not counted one by one, per second.</summary>
    public const double FastestDrops = 4;

    /// <summary>A block of drops is never trusted better than this, in ln flow.</summary>
    public const double DropFloor = 0.03;

    /// <summary>Chance that a float is stuck or wrong. It hangs in a bucket with animals in it.</summary>
    public const double FloatFaulty = 0.05;

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
    public const double LeakChance = 0.2;

    /// <summary>How often a valve that held begins to leak, per hour closed: something swells, a grain lets go.</summary>
    public const double LeaksPerHour = 0.01;

    /// <summary>A leak below this is not told, mL/min: 12 h of it are a third of a litre, and a little misjudged evaporation looks the same.</summary>
    public const double LeastLeak = 0.5;

    /// <summary>How sure of a leak before it is told: the alarm sends somebody running.</summary>
    public const double LeakSure = 0.75;

    /// <summary>The evaporation may be misjudged by 3 mL/h all night (a lid left off); carried as a walk while closed, L per square root hour.</summary>
    public const double EvaporationWalk = 0.010;

    /// <summary>How many hypotheses of each kind, leaking and not, live on after each block while closed: the flow is not seen then.</summary>
    public const int KeepClosed = 16;
}
