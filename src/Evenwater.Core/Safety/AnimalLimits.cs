using Evenwater.Core.Stations;

namespace Evenwater.Core.Safety;

/// <summary>A limit and where it comes from.</summary>
/// <param name="Value">In the unit of what it limits.</param>
/// <param name="Source">A publication, "common practice, no source", or the station file.</param>
public readonly record struct SourcedLimit(double Value, string Source);

/// <summary>What animals may be put through in one run; null where there is no limit.</summary>
public sealed record AnimalLimits
{
    /// <summary>
    /// One step of practical salinity is at least this much conductivity, µS/cm at 25 °C, anywhere from 2 to 42 (PSS-78: 1309 from 41 to 42, more
    /// everywhere below). So a limit in salinity becomes a limit in conductivity that is never too wide.
    /// </summary>
    public const double MicrosiemensPerCmPerSalinity = 1300;

    private const string Practice = "common practice, no source";
    private const string Guidance = "EPA-821-R-02-012, from memory: at most 3 ‰ and 3 °C in 12 h";

    /// <summary>Fastest change of conductivity, µS/cm at 25 °C per hour.</summary>
    public SourcedLimit? MicrosiemensPerCmPerHour { get; init; }

    /// <summary>Largest change of conductivity in one run, µS/cm at 25 °C.</summary>
    public SourcedLimit? TotalMicrosiemensPerCm { get; init; }

    /// <summary>Fastest change of temperature, °C per hour.</summary>
    public SourcedLimit? CelsiusPerHour { get; init; }

    /// <summary>Largest change of temperature in one run, °C.</summary>
    public SourcedLimit? TotalCelsius { get; init; }

    /// <summary>Largest difference in pH between the two waters. Nothing here measures pH: only a plan knows it.</summary>
    public SourcedLimit? TotalPh { get; init; }

    /// <summary>What else is published and is no number to close a valve by; or null.</summary>
    public string? Note { get; init; }

    /// <summary>
    /// The limits of a station: its own keys, and where it gives none, those of its group. What is published supports limits of the total step and of
    /// the end point at least as much as of the rate.
    /// </summary>
    public static AnimalLimits Of(Limits limits)
    {
        ArgumentNullException.ThrowIfNull(limits);
        var group = limits.Group is { } named ? Of(named) : new AnimalLimits();
        return group with
        {
            MicrosiemensPerCmPerHour = Own(limits.MicrosiemensPerCmPerHour) ?? group.MicrosiemensPerCmPerHour,
            TotalMicrosiemensPerCm = Own(limits.TotalMicrosiemensPerCm) ?? group.TotalMicrosiemensPerCm,
            CelsiusPerHour = Own(limits.CelsiusPerHour) ?? group.CelsiusPerHour,
            TotalCelsius = Own(limits.TotalCelsius) ?? group.TotalCelsius,
            TotalPh = Own(limits.TotalPh) ?? group.TotalPh,
        };
    }

    /// <summary>What is known or practised of one group.</summary>
    public static AnimalLimits Of(AnimalGroup group) => group switch
    {
        AnimalGroup.FreshwaterFish => Usual(150, 2, 0.3),
        AnimalGroup.MarineFish => Usual(2 * MicrosiemensPerCmPerSalinity, 2, 0.3),
        AnimalGroup.MarineInvertebrates => Usual(MicrosiemensPerCmPerSalinity, 1, 0.2),
        AnimalGroup.RedDrumFingerlings => Usual(150, 2, 0.3) with
        {
            MicrosiemensPerCmPerHour = Salinity(10, "McDonald 2016, North American Journal of Aquaculture: its protocol, 1 h for each 10 ‰"),
            TotalMicrosiemensPerCm = Salinity(10, "McDonald 2016: 82 % lived after 10 ‰, 61 % after 20 ‰, however fast"),
        },
        AnimalGroup.WhitelegShrimpPostlarvae => Usual(150, 1, 0.3) with
        {
            MicrosiemensPerCmPerHour = Salinity(4.4, "McGraw 2002, Journal of the World Aquaculture Society 33:78: 19 % an hour from 23 ‰, the slowest tried; faster made no difference"),
            TotalMicrosiemensPerCm = Salinity(19, "McGraw 2002: from 23 to 4 ‰; where it ends and how old they are matters"),
            Note = "From 30 ‰ to fresh water was tried over 32 to 72 h (McGraw and Scarpa 2004).",
        },
        AnimalGroup.FleshyPrawn => Usual(MicrosiemensPerCmPerSalinity, 1, 0.3) with
        {
            Note = "Its blood was steady only within five days of a change (Penaeus chinensis, study abstract).",
        },
        AnimalGroup.FreshwaterShrimp => Usual(150, 1, 0.3) with
        {
            Note = "An abrupt rise made one use 54 % more oxygen for 8 to 10 h, a fall 20 % more for 4 to 8 h (Palaemonetes antennarius, Dalla Via 1987).",
        },
        AnimalGroup.FreshwaterPrawn => Usual(150, 1, 0.3) with
        {
            TotalCelsius = new(2, "Macrobrachium amazonicum, study abstract: cooled by 2 °C a day; at 14 °C it begins to lose its balance"),
            TotalPh = new(0.5, "FAO Fisheries Technical Paper 428, from memory: postlarvae, no change of more than 0.5"),
        },
        AnimalGroup.Catfish => Usual(150, 2, 0.3) with
        {
            TotalCelsius = new(5.6, "a hatchery's own page, weak: temper from 5 to 10 °F on"),
        },
        AnimalGroup.BassFry => Usual(150, 2, 0.3) with
        {
            Note = "1.9 units of pH within 10 minutes: 48 % lived, against 75 % (Walker 2000).",
        },
        AnimalGroup.TestOrganisms => Usual(150, 2, 0.3) with
        {
            MicrosiemensPerCmPerHour = Salinity(3.0 / 12, Guidance),
            CelsiusPerHour = new(3.0 / 12, Guidance),
        },
        _ => throw new ArgumentOutOfRangeException(nameof(group), group, "no limits for this group"),
    };

    private static AnimalLimits Usual(double microsiemensPerCmPerHour, double celsiusPerHour, double totalPh) => new()
    {
        MicrosiemensPerCmPerHour = new(microsiemensPerCmPerHour, Practice),
        TotalMicrosiemensPerCm = Salinity(3, Guidance),
        CelsiusPerHour = new(celsiusPerHour, Practice),
        TotalCelsius = new(3, Guidance),
        TotalPh = new(totalPh, Practice),
    };

    private static SourcedLimit Salinity(double salinity, string source) => new(salinity * MicrosiemensPerCmPerSalinity, source);

    private static SourcedLimit? Own(double? value) => value is { } given ? new(given, "the station file") : null;
}
