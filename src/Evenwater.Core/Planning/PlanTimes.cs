using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>When a course is even and when at its mark, with the station's uncertainties carried through.</summary>
internal sealed class PlanTimes
{
    /// <summary>Standard deviations on each side of a range of 90 %.</summary>
    private const double Sds90 = 1.645;

    /// <summary>A tank measured by hand, as a fraction: two instruments and a while between them. Common practice, no source.</summary>
    private const double ByHandSd = 0.02;

    /// <summary>Waters this near to each other, in standard deviations of the ratio of the probes' gains, conduct alike.</summary>
    private const double AlikeSds = 3;

    private readonly Station _station;

    /// <summary>The times of a station at a drip; without <paramref name="doubt"/> each is the calculation alone.</summary>
    public PlanTimes(Station station, double litresPerHour, bool doubt = true)
    {
        _station = station;
        ToleranceMicrosiemensPerCm = Tolerance(station);
        Course = Course.Of(station, station.Vessel.StartVolumeLitres, litresPerHour);
        var middle = Times(Course, 0, 0);
        var variants = doubt ? Variants(litresPerHour).ToList() : [];
        EvenInConductivity = Range(t => t.Conductivity);
        Even = Range(t => t.Even);
        AtMark = Range(t => t.Mark);
        MarkToClosing = Range(t => t.Mark / (t.Even + (station.Match.DwellMinutes / 60)));

        HoursRange Range(Func<Moments, double> pick) => RangeOf(pick(middle), variants.Select(pair => (pick(pair.Less), pick(pair.More))));
    }

    public Course Course { get; }

    public double ToleranceMicrosiemensPerCm { get; }

    public HoursRange EvenInConductivity { get; }

    public HoursRange Even { get; }

    public HoursRange AtMark { get; }

    /// <summary>Time to the mark over time to closing: above 1 when it fits. A flow that is not as measured moves both alike and cancels.</summary>
    public HoursRange MarkToClosing { get; }

    public static double Tolerance(Station station) => station.Match.ToleranceMicrosiemensPerCm
        ?? (station.Match.ToleranceFractionOfDifference ?? 0) * Difference(station);

    public static double Difference(Station station) => Math.Abs(station.Waters.BagMicrosiemensPerCm - station.Waters.TankMicrosiemensPerCm);

    /// <summary>Hours until even in conductivity at a rate; infinite when not within the horizon.</summary>
    public static double HoursToConductivity(Station station, double litresPerHour)
    {
        var even = Evenness(station, station.Waters.TankMicrosiemensPerCm);
        return CourseSearch.FirstWhen(Course.Of(station, station.Vessel.StartVolumeLitres, litresPerHour), even);
    }

    /// <summary>The share of the first difference that may be left; where the waters conduct nearly alike, the share of the first water.</summary>
    public static double LeftOver(Station station) => ReplacedWanted(station) is { } replaced ? 1 - replaced : Math.Min(1, Tolerance(station) / Difference(station));

    /// <summary>
    /// The share of the water that must be the tank's, where the two conduct so nearly alike at first that their conductivity can not tell; null where it can.
    /// A run judges by the same rule.
    /// </summary>
    public static double? ReplacedWanted(Station station)
    {
        var (apart, tolerance) = (Difference(station), Tolerance(station));
        return apart <= Math.Max(tolerance, AlikeSds * station.Probes.GainRatioSd * station.Waters.TankMicrosiemensPerCm)
            ? Math.Clamp(1 - (tolerance / Math.Max(apart, 1e-9)), station.Match.ReplacedFraction, 0.999)
            : null;
    }

    /// <summary>When the waters count as even, temperature aside.</summary>
    private static Func<CourseAt, bool> Evenness(Station station, double tankMicrosiemensPerCm)
    {
        if (ReplacedWanted(station) is { } replaced) return at => 1 - at.BagShare >= replaced;
        var tolerance = Tolerance(station) + Rounding(station);
        return at => Math.Abs(at.MicrosiemensPerCm - tankMicrosiemensPerCm) <= tolerance;
    }

    private static double Rounding(Station station) => 1e-12 * Math.Max(station.Waters.BagMicrosiemensPerCm, station.Waters.TankMicrosiemensPerCm);

    /// <summary>Each uncertain input at the lower and the upper end of its own 90 %: start volume, flow, ratio of the probes' gains, brim.</summary>
    private IEnumerable<(Moments Less, Moments More)> Variants(double litresPerHour)
    {
        var vessel = _station.Vessel;
        yield return Both(sign => Times(Course.Of(_station, vessel.StartVolumeLitres + (sign * vessel.StartVolumeSdLitres), litresPerHour), 0, 0));
        // Logarithmic, so that a flow that is hardly known stays positive.
        yield return Both(sign => Times(Course.Of(_station, vessel.StartVolumeLitres, litresPerHour * Math.Exp(sign * _station.Drip.FlowRelativeSd)), 0, 0));
        yield return Both(sign => Times(Course, sign * GainDoubt(), 0));
        yield return Both(sign => Times(Course, 0, sign * vessel.BrimSdLitres));

        static (Moments Less, Moments More) Both(Func<double, Moments> times) => (times(-Sds90), times(Sds90));
    }

    /// <summary>How far the tank may be off as the vessel's own probe would read it: without a probe in it, as far as a reading by hand at least.</summary>
    private double GainDoubt() => _station.Sensors.TankConductivity is null
        ? Math.Max(ByHandSd, _station.Probes.GainRatioSd)
        : _station.Probes.GainRatioSd;

    private Moments Times(Course course, double gain, double brimShiftLitres)
    {
        var (waters, match) = (_station.Waters, _station.Match);
        var tank = waters.TankMicrosiemensPerCm * (1 + gain); // the tank as the vessel's own probe would read it
        var conductivity = Evenness(_station, tank);
        bool Both(CourseAt at) => conductivity(at) && Math.Abs(at.Celsius - waters.TankTemperatureCelsius) <= match.TemperatureToleranceCelsius;
        var mark = StationRules.MarkLitres(_station.Vessel) + brimShiftLitres;
        return new Moments(
            CourseSearch.FirstWhen(course, conductivity),
            CourseSearch.FirstHeld(course, Both, match.DwellMinutes / 60),
            CourseSearch.FirstWhen(course, at => at.Litres >= mark));
    }

    /// <summary>Each side by itself, in logarithms, the inputs' parts added as squares: what is never, or is so at once, at an end of one input is so at the end of the range.</summary>
    private static HoursRange RangeOf(double middle, IEnumerable<(double Less, double More)> variants)
    {
        if (middle == 0 || double.IsPositiveInfinity(middle)) return new HoursRange(middle, middle, middle);
        var (early, late) = (0.0, 0.0);
        foreach (var (less, more) in variants)
        {
            early += Squared(Math.Log(middle / Math.Min(less, more)));
            late += Squared(Math.Log(Math.Max(less, more) / middle));
        }

        return new HoursRange(middle * Math.Exp(-Math.Sqrt(early)), middle, middle * Math.Exp(Math.Sqrt(late)));

        static double Squared(double part) => part > 0 ? part * part : 0;
    }

    private readonly record struct Moments(double Conductivity, double Even, double Mark);
}
