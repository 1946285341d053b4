using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>A time as a range: with 90 % between the first and the last, as far as the station's own uncertainties go. Infinite: never.</summary>
/// <param name="Early">5 % are earlier, h.</param>
/// <param name="Middle">The calculation itself, h.</param>
/// <param name="Late">5 % are later, h.</param>
public readonly record struct HoursRange(double Early, double Middle, double Late);

/// <summary>Why a run as planned would not end in a match.</summary>
public enum Obstacle
{
    /// <summary>The mark (brim less freeboard) comes before the match.</summary>
    VesselTooSmall,

    /// <summary>The high float turns wet before the match.</summary>
    HighFloatFirst,

    /// <summary>Not even within 48 h.</summary>
    TooSlow,

    /// <summary>The temperature never stays within its tolerance.</summary>
    TemperatureStops,

    /// <summary>The time budget ends before the match.</summary>
    TimeBudget,

    /// <summary>The volume budget ends before the match.</summary>
    VolumeBudget,

    /// <summary>More than the source may lose is needed.</summary>
    SourceDraw,

    /// <summary>The source falls below its intake before the match.</summary>
    IntakeRunsDry,

    /// <summary>The standpipe sends on more than its catch vessel holds.</summary>
    CatchOverflows,

    /// <summary>A probe's front end ends below the waters that are expected.</summary>
    BeyondProbe,

    /// <summary>A planned draw-off takes more than is there.</summary>
    DrawOffTooLarge,

    /// <summary>Too little is known: the program's own forecast closes before it is sure that the waters are even.</summary>
    ForecastFirst,

    /// <summary>Too little is known for the program to be sure within 48 h.</summary>
    NeverSure,

    /// <summary>Done only after the hour that the keeper wants.</summary>
    Deadline,

    /// <summary>The tank falls below what its heater needs above it.</summary>
    HeaterExposed,

    /// <summary>The water changes faster or further than the animals' limits, at which the valve closes.</summary>
    AnimalLimit,
}

/// <summary>What the keeper should know beside the answer.</summary>
public enum Caution
{
    /// <summary>It fits, but the uncertainties may take that away.</summary>
    OnlyJust,

    /// <summary>Waters of unlike make-up mix off the straight line.</summary>
    UnlikeWaters,

    /// <summary>At these conductivities the straight line is rough.</summary>
    Marine,

    /// <summary>The intake runs dry before the mark: the run ends by itself.</summary>
    IntakeEndsIt,

    /// <summary>With the valve closed the vessel drifts to another temperature.</summary>
    RestsElsewhere,

    /// <summary>Faster than the station's own limits.</summary>
    FasterThanLimit,

    /// <summary>Further in one run than the station's own or its group's limits.</summary>
    FurtherThanLimit,

    /// <summary>The bag's ammonia turns poisonous as its pH rises.</summary>
    TransitAmmonia,

    /// <summary>The animals may use up the oxygen.</summary>
    Oxygen,

    /// <summary>Waters that conduct alike may differ in what was not tested, or still do in what was.</summary>
    OnlyConductivity,

    /// <summary>A siphon, though not the plan, would uncover the tank's heater.</summary>
    Heater,

    /// <summary>A probe's scatter is as much as a pulse brings, and holds the pulses back.</summary>
    PulsesInScatter,

    /// <summary>Too fast to be counted in drops, or the proposal is rough.</summary>
    RateIsRough,

    /// <summary>The start volume or the probes are not known well.</summary>
    MeasureBetter,

    /// <summary>A protection is missing.</summary>
    MissingProtection,

    /// <summary>A person must be there and tell it.</summary>
    DrawOffsByHand,

    /// <summary>There is no probe in the tank.</summary>
    NoTankProbe,

    /// <summary>The keeper's own book speaks against it.</summary>
    Journal,

    /// <summary>Rules for every run.</summary>
    Always,
}

/// <summary>A remark of the plan, in plain words.</summary>
public readonly record struct Remark<T>(T Kind, string Text)
    where T : struct, Enum;

/// <summary>The answer before a run. Whether it goes so is another matter: these are calculations, not measurements.</summary>
public sealed record Plan
{
    internal Plan(Trial trial) => Trial = trial;

    /// <summary>What it was judged by.</summary>
    internal Trial Trial { get; }

    /// <summary>The station's name.</summary>
    public required string Name { get; init; }

    /// <summary>The drip the plan is made for.</summary>
    public required FlowRate Flow { get; init; }

    /// <summary>True when the rate is the plan's own proposal.</summary>
    public required bool FlowIsProposed { get; init; }

    /// <summary>The same in drops per minute; 20 drops are 1 mL within 10 % (ISO 8536-4).</summary>
    public required double DropsPerMinute { get; init; }

    /// <summary>Tolerance in conductivity, µS/cm.</summary>
    public required double ToleranceMicrosiemensPerCm { get; init; }

    /// <summary>The share of the water that must be the tank's, where the two conduct so nearly alike that conductivity can not tell, 0 to 1; null where it can.</summary>
    public required double? ReplacedWanted { get; init; }

    /// <summary>Volume at which a fill alone is even in conductivity, L; it depends on no flow.</summary>
    public required double FillNeedsLitres { get; init; }

    /// <summary>The same in start volumes: |C0 - Ct| / tolerance; where the waters conduct alike, 1 / (1 - share to be replaced).</summary>
    public required double FillNeedsStartVolumes { get; init; }

    /// <summary>Hours to that volume at this rate, evaporation and temperature aside: the hand calculation.</summary>
    public required double FillHours { get; init; }

    /// <summary>Brim less freeboard.</summary>
    public required Volume Mark { get; init; }

    /// <summary>Until even in conductivity.</summary>
    public required HoursRange EvenInConductivity { get; init; }

    /// <summary>Until even in conductivity and temperature.</summary>
    public required HoursRange Even { get; init; }

    /// <summary>Until the mark.</summary>
    public required HoursRange AtMark { get; init; }

    /// <summary>The vessel when it becomes even; null when it does not.</summary>
    public required CourseAt? WhenEven { get; init; }

    /// <summary>The vessel when it has been even for the dwell time and the valve closes; null when it does not become even.</summary>
    public required CourseAt? WhenClosed { get; init; }

    /// <summary>Whether <see cref="WhenClosed"/> is when the estimator would be sure; else it is the dwell time after <see cref="WhenEven"/>.</summary>
    public required bool IsOnceSure { get; init; }

    /// <summary>The whole course that this was read from.</summary>
    public required Course Course { get; init; }

    /// <summary>What the tank loses.</summary>
    public required TankLoss TankLoss { get; init; }

    /// <summary>Where the temperature would settle if the drip went on; held inside the range of <see cref="Temperature"/>.</summary>
    public required Temperature SettlesAt { get; init; }

    /// <summary>Where it goes once the valve is closed.</summary>
    public required Temperature RestsAt { get; init; }

    /// <summary>What could siphon, L; null when there is no bound.</summary>
    public required double? SiphonLitres { get; init; }

    /// <summary>Why it must not run unattended; empty when nothing here speaks against it.</summary>
    public required IReadOnlyList<Problem> UnattendedRefusals { get; init; }

    /// <summary>Why it would not end in a match; empty when it fits.</summary>
    public required IReadOnlyList<Remark<Obstacle>> Obstacles { get; init; }

    /// <summary>What else to know.</summary>
    public required IReadOnlyList<Remark<Caution>> Cautions { get; init; }

    /// <summary>What is reckoned of the bag's ammonia; null when too little is known.</summary>
    public TransitAmmonia? Ammonia { get; init; }

    /// <summary>How long the vessel's oxygen lasts without air; null when nobody told what the animals weigh.</summary>
    public required VesselOxygen? Oxygen { get; init; }

    /// <summary>What is left of what the keeper's tests found in the bag; empty without tests.</summary>
    public required IReadOnlyList<Residual> Residuals { get; init; }

    /// <summary>Whether a long drip is right for this arrival at all.</summary>
    public required Advice Advice { get; init; }

    /// <summary>Whether it ends in a match as planned.</summary>
    public bool Fits => Obstacles.Count == 0;
}
