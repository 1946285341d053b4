using Evenwater.Core.Estimation;

namespace Evenwater.Core.Stations;

/// <summary>One vessel, its source, its probes and its valve, as the station file describes them. Checked by <see cref="StationRules"/>.</summary>
public sealed record Station
{
    /// <summary>1 to 32 of a-z, 0-9 and -, starting with a letter; simulated stations begin with "sim-".</summary>
    public required string Name { get; init; }

    /// <summary>The bucket.</summary>
    public required Vessel Vessel { get; init; }

    /// <summary>The inflow.</summary>
    public required Drip Drip { get; init; }

    /// <summary>When the two waters count as even.</summary>
    public required Match Match { get; init; }

    /// <summary>The tank the water comes from.</summary>
    public required Source Source { get; init; }

    /// <summary>What the keeper expects of the two waters; used by plan and by the simulated rig, never by a live run.</summary>
    public required Waters Waters { get; init; }

    /// <summary>How the animals arrived; used by plan.</summary>
    public Arrival Arrival { get; init; } = new();

    /// <summary>When somebody can be there; used by plan.</summary>
    public Keeper Keeper { get; init; } = new();

    /// <summary>The room the vessel stands in.</summary>
    public Room Room { get; init; } = new();

    /// <summary>Where the floats sit.</summary>
    public Floats Floats { get; init; } = new();

    /// <summary>How well the probes agree.</summary>
    public Probes Probes { get; init; } = new();

    /// <summary>Planned draw-offs.</summary>
    public IReadOnlyList<DrawOff> DrawOffs { get; init; } = [];

    /// <summary>Bus addresses, pins and kinds.</summary>
    public required Sensors Sensors { get; init; }

    /// <summary>What the animals may be put through.</summary>
    public Limits Limits { get; init; } = new();

    /// <summary>When to close whatever happens.</summary>
    public required Safety Safety { get; init; }

    /// <summary>The valve.</summary>
    public Valve Valve { get; init; } = new();

    /// <summary>How the valve is opened in pulses; null: it stays open while the drip runs.</summary>
    public Pacing? Pacing { get; init; }

    /// <summary>Water lost to the air.</summary>
    public Evaporation Evaporation { get; init; } = new();

    /// <summary>How often the proof test is due.</summary>
    public Proof Proof { get; init; } = new();

    /// <summary>The call once a week that shows that alarms arrive.</summary>
    public WeeklyTest WeeklyTest { get; init; } = new();

    /// <summary>The tank, watched for its own sake.</summary>
    public Tank Tank { get; init; } = new();

    /// <summary>What the keeper does again and again.</summary>
    public IReadOnlyList<RoutineTask> Routine { get; init; } = [];
}

/// <summary>The vessel's geometry.</summary>
public sealed record Vessel
{
    /// <summary>Bag water poured in, L.</summary>
    public required double StartVolumeLitres { get; init; }

    /// <summary>1-sigma of it, L.</summary>
    public required double StartVolumeSdLitres { get; init; }

    /// <summary>Volume at which water spills, L.</summary>
    public required double BrimLitres { get; init; }

    /// <summary>1-sigma of it, L.</summary>
    public required double BrimSdLitres { get; init; }

    /// <summary>Margin below the brim that must never be used, L.</summary>
    public required double FreeboardLitres { get; init; }

    /// <summary>Fill or standpipe.</summary>
    public VesselMode Mode { get; init; }

    /// <summary>Volume at the standpipe, L.</summary>
    public double? StandpipeLitres { get; init; }

    /// <summary>1-sigma of it, L.</summary>
    public double? StandpipeSdLitres { get; init; }

    /// <summary>What the tray or catch vessel below holds, L.</summary>
    public double? CatchLitres { get; init; }

    /// <summary>Area of the water surface, m2.</summary>
    public double? AreaSquareMetres { get; init; }

    /// <summary>Heat exchange with the room, W/K; 2 to 4 for an open 10 L bucket, less with a lid.</summary>
    public double HeatExchangeWattsPerKelvin { get; init; } = 1.5;
}

/// <summary>The inflow as the keeper set it.</summary>
public sealed record Drip
{
    /// <summary>Measured or intended rate, mL/min; null when unknown.</summary>
    public double? FlowMillilitresPerMinute { get; init; }

    /// <summary>1-sigma of it, as a fraction.</summary>
    public double FlowRelativeSd { get; init; } = 0.1;

    /// <summary>Height of the tank's water above the vessel's at the start, m: the drip slows as it shrinks. Null when unknown; the drip is then taken for steady.</summary>
    public double? HeadMetres { get; init; }

    /// <summary>Volume of a drop, mL.</summary>
    public double DropMillilitres { get; init; } = 0.05;

    /// <summary>1-sigma of it, as a fraction: 0.12 by the usual number, since drops change with tip, rate and salt; less when weighed.</summary>
    public double DropRelativeSd { get; init; } = 0.12;
}

/// <summary>When vessel and tank count as even.</summary>
public sealed record Match
{
    /// <summary>Conductivity within this, µS/cm at 25 °C. Give this or the fraction.</summary>
    public double? ToleranceMicrosiemensPerCm { get; init; }

    /// <summary>Conductivity within this fraction of the first difference.</summary>
    public double? ToleranceFractionOfDifference { get; init; }

    /// <summary>Temperature within this, °C.</summary>
    public double TemperatureToleranceCelsius { get; init; } = 1.5;

    /// <summary>Where the two waters conduct nearly alike, the share of the vessel's water that must be the tank's, 0.5 to 0.99.</summary>
    public double ReplacedFraction { get; init; } = 0.75;

    /// <summary>Even for this long before it counts, min.</summary>
    public double DwellMinutes { get; init; } = 10;
}

/// <summary>The tank that the water comes from.</summary>
public sealed record Source
{
    /// <summary>Its volume, L.</summary>
    public required double VolumeLitres { get; init; }

    /// <summary>At most this may be taken, L.</summary>
    public required double MaxDrawLitres { get; init; }

    /// <summary>Its surface, m2.</summary>
    public required double SurfaceAreaSquareMetres { get; init; }

    /// <summary>How far the intake reaches below the surface, mm.</summary>
    public required double IntakeDepthMillimetres { get; init; }

    /// <summary>Whether an automatic top-off is running: it refills what a siphon takes.</summary>
    public bool AutomaticTopOff { get; init; }

    /// <summary>What that top-off could add, L.</summary>
    public double? TopOffReservoirLitres { get; init; }

    /// <summary>The water that a water change brings, µS/cm at 25 °C; null when unknown. Told causes apart when the tank is looked back at, and decides nothing.</summary>
    public double? NewWaterMicrosiemensPerCm { get; init; }

    /// <summary>And how warm it is, °C; null when unknown.</summary>
    public double? NewWaterCelsius { get; init; }

    /// <summary>How far below the surface the tank's heater must stay covered, mm: its own mark, or its upper end; null when there is none.</summary>
    public double? HeaterTopDepthMillimetres { get; init; }
}

/// <summary>The two waters as expected.</summary>
public sealed record Waters
{
    /// <summary>Bag water, µS/cm at 25 °C.</summary>
    public required double BagMicrosiemensPerCm { get; init; }

    /// <summary>Bag water, °C.</summary>
    public required double BagTemperatureCelsius { get; init; }

    /// <summary>Tank, µS/cm at 25 °C.</summary>
    public required double TankMicrosiemensPerCm { get; init; }

    /// <summary>Tank, °C.</summary>
    public required double TankTemperatureCelsius { get; init; }

    /// <summary>pH in the bag, measured as it is opened; null when unknown.</summary>
    public double? BagPh { get; init; }

    /// <summary>pH of the tank; null when unknown.</summary>
    public double? TankPh { get; init; }

    /// <summary>General hardness of the bag water, German degrees; null when not tested.</summary>
    public double? BagGeneralHardnessDegrees { get; init; }

    /// <summary>General hardness of the tank, German degrees; null when not tested.</summary>
    public double? TankGeneralHardnessDegrees { get; init; }

    /// <summary>Carbonate hardness (alkalinity) of the bag water, German degrees; null when not tested.</summary>
    public double? BagCarbonateHardnessDegrees { get; init; }

    /// <summary>Carbonate hardness (alkalinity) of the tank, German degrees; null when not tested.</summary>
    public double? TankCarbonateHardnessDegrees { get; init; }
}

/// <summary>How the animals arrived.</summary>
public sealed record Arrival
{
    /// <summary>Hours in the closed bag; null when unknown.</summary>
    public double? HoursInTransit { get; init; }

    /// <summary>Total ammonia (NH3 and NH4 together, as a test kit reads it) in the bag, mg/L; null when not measured.</summary>
    public double? TotalAmmoniaMilligramsPerLitre { get; init; }

    /// <summary>Nitrite in the bag, mg/L; null when not measured.</summary>
    public double? NitriteMilligramsPerLitre { get; init; }

    /// <summary>How many animals; null when not told.</summary>
    public int? Animals { get; init; }

    /// <summary>What they weigh together, g; null when not told.</summary>
    public double? TotalGrams { get; init; }
}

/// <summary>When somebody can be at the vessel: for draw-offs by hand, and for what a plan promises.</summary>
public sealed record Keeper
{
    /// <summary>Awake from this hour of the local day, 0 to 24.</summary>
    public double AwakeFromHour { get; init; } = 7;

    /// <summary>Asleep from this hour, 0 to 24; before <see cref="AwakeFromHour"/> when it is after midnight.</summary>
    public double AsleepFromHour { get; init; } = 23;

    /// <summary>Away from this hour of each day, 0 to 24; null for never.</summary>
    public double? LeavesAtHour { get; init; }

    /// <summary>Until this hour; given exactly when <see cref="LeavesAtHour"/> is.</summary>
    public double? BackAtHour { get; init; }
}

/// <summary>The room.</summary>
public sealed record Room
{
    /// <summary>Air, °C.</summary>
    public double TemperatureCelsius { get; init; } = 21;

    /// <summary>Whether the vessel has a lid (that lets air in).</summary>
    public bool Lid { get; init; }
}

/// <summary>Where the floats sit in the vessel.</summary>
public sealed record Floats
{
    /// <summary>Volume at which the low float turns wet, L.</summary>
    public double? LowLitres { get; init; }

    /// <summary>Volume at which the high float turns wet, L.</summary>
    public double? HighLitres { get; init; }

    /// <summary>1-sigma of both, L.</summary>
    public double PositionSdLitres { get; init; } = 0.12;
}

/// <summary>How well the probes agree.</summary>
public sealed record Probes
{
    /// <summary>That after both were put in one cup, as a fraction: what two minutes of readings and their slow wander leave (simulated; no probe was measured).</summary>
    public const double MatchedSd = 0.003;

    /// <summary>That of two probes that never were. Common practice, no source.</summary>
    public const double UnmatchedSd = 0.021;

    /// <summary>1-sigma of the gain ratio of the two conductivity probes, as a fraction: 0.003 after matching in one cup, 0.021 without.</summary>
    public double GainRatioSd { get; init; } = UnmatchedSd;
}

/// <summary>What the animals may be put through; null means the group's limit, and without a group none.</summary>
public sealed record Limits
{
    /// <summary>Which animals; null for none of them.</summary>
    public AnimalGroup? Group { get; init; }

    /// <summary>Largest change of conductivity in one run, µS/cm at 25 °C.</summary>
    public double? TotalMicrosiemensPerCm { get; init; }

    /// <summary>Largest change of temperature in one run, °C.</summary>
    public double? TotalCelsius { get; init; }

    /// <summary>Largest difference in pH between the two waters.</summary>
    public double? TotalPh { get; init; }

    /// <summary>Fastest change of conductivity, µS/cm per hour.</summary>
    public double? MicrosiemensPerCmPerHour { get; init; }

    /// <summary>Fastest change of temperature, °C per hour.</summary>
    public double? CelsiusPerHour { get; init; }
}

/// <summary>When to close whatever happens.</summary>
public sealed record Safety
{
    /// <summary>Time budget of a run, min.</summary>
    public required double MaxOpenMinutes { get; init; }

    /// <summary>Volume budget of a run, L.</summary>
    public required double MaxInflowLitres { get; init; }

    /// <summary>Close when P(brim less freeboard within the horizon) exceeds this before the waters are even; once they are, a twentieth of it closes.</summary>
    public double TripProbability { get; init; } = 0.02;

    /// <summary>That horizon, s.</summary>
    public double TripHorizonSeconds { get; init; } = 150;

    /// <summary>How long a permission to stay open lasts, s.</summary>
    public double LeaseSeconds { get; init; } = 3;

    /// <summary>A float or leak switch must read the same for this long, ms.</summary>
    public double FloatDebounceMilliseconds { get; init; } = 100;

    /// <summary>Whether an untripped run goes on by itself after a restart, once every probe has been seen afresh.</summary>
    public bool ResumeAfterRestart { get; init; }
}

/// <summary>The valve.</summary>
public sealed record Valve
{
    /// <summary>Where it goes when its power is lost.</summary>
    public PowerLoss OnPowerLoss { get; init; } = PowerLoss.Closed;
}

/// <summary>Where a valve goes when its power is lost.</summary>
public enum PowerLoss
{
    /// <summary>Closed: a normally-closed valve.</summary>
    Closed,

    /// <summary>Where it was: a motorised valve.</summary>
    Stays,
}

/// <summary>Water lost to the air.</summary>
public sealed record Evaporation
{
    /// <summary>mL/h; about 4.5 for an open bucket.</summary>
    public double MillilitresPerHour { get; init; }
}

/// <summary>The proof test: every part of the protection tried by hand.</summary>
public sealed record Proof
{
    /// <summary>Due again after this, days. A month: common practice, no source.</summary>
    public double EveryDays { get; init; } = 30;
}

/// <summary>One call a week, of low priority, that shows that alarms arrive.</summary>
public sealed record WeeklyTest
{
    /// <summary>Whether it is made at all.</summary>
    public bool Calls { get; init; } = true;

    /// <summary>From when on it calls on its day, full hours of the local day, 0 to 23. Noon: most people are awake; common practice, no source.</summary>
    public double AtHour { get; init; } = 12;
}
