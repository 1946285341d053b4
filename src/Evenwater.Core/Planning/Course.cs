using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>The vessel at one moment of a planned run.</summary>
/// <param name="Hours">Hours from the start.</param>
/// <param name="Litres">Water in the vessel, L.</param>
/// <param name="MicrosiemensPerCm">Its conductivity on the straight line between the two waters, µS/cm at 25 °C.</param>
/// <param name="Celsius">Its temperature, °C.</param>
/// <param name="InflowLitres">Come in so far, L.</param>
/// <param name="OutflowLitres">Gone through the standpipe so far, L.</param>
/// <param name="DrawnLitres">Drawn off by hand so far, L.</param>
/// <param name="BagShare">What is left of each litre's first water and of all that was dissolved in it, 0 to 1; above 1 for a moment when air takes more than comes in.</param>
public readonly record struct CourseAt(
    double Hours, double Litres, double MicrosiemensPerCm, double Celsius, double InflowLitres, double OutflowLitres, double DrawnLitres, double BagShare);

/// <summary>
/// A run as the closed forms give it, stretch by stretch between draw-offs and the standpipe, as though the vessel had no rim: whether it fits is judged
/// afterwards. The drip is steady, or, where the head is known, falls with it and is steady for ten minutes at a time; a paced station's rests now and then.
/// </summary>
public sealed class Course
{
    /// <summary>No run is planned beyond this, h.</summary>
    public const double HorizonHours = 48;

    /// <summary>A draw-off, and the air, leave at least this share of the start volume, for the animals' sake and the arithmetic's.</summary>
    private const double LeastShare = 0.05;

    /// <summary>So long a falling drip is taken for steady, h: it loses less than a thousandth of itself meanwhile (a night's whole fall is a tenth or two).</summary>
    private const double FallingStepHours = 1.0 / 6;

    private readonly List<Stretch> _stretches = [];

    private Course()
    {
    }

    /// <summary>Hours at which the flows or the volume change abruptly, the start included.</summary>
    public IEnumerable<double> Turns => _stretches.Where(stretch => stretch.IsTurn).Select(stretch => stretch.FromHours);

    /// <summary>In how many stretches it was followed.</summary>
    internal int Steps => _stretches.Count;

    /// <summary>Whether a planned draw-off would take more than is there.</summary>
    public bool DrawnDry { get; private set; }

    /// <summary>The course of <paramref name="station"/> from <paramref name="startLitres"/> at <paramref name="litresPerHour"/>.</summary>
    public static Course Of(Station station, double startLitres, double litresPerHour)
    {
        ArgumentNullException.ThrowIfNull(station);
        var course = new Course();
        var standpipe = station.Vessel is { Mode: VesselMode.Standpipe, StandpipeLitres: { } litres } ? litres : double.PositiveInfinity;
        var now = new CourseAt(0, startLitres, station.Waters.BagMicrosiemensPerCm, station.Waters.BagTemperatureCelsius, 0, 0, 0, 1);
        var (drawn, running, turn) = (0, startLitres >= standpipe, true);
        var (head, paced) = (FallingHead.Of(station, startLitres), PacedInflow.Of(station));
        while (now.Hours < HorizonHours)
        {
            var drip = litresPerHour * head.FactorAt(now.Litres, now.InflowLitres, litresPerHour * FallingStepHours / 2, !running);
            var inflow = paced.LitresPerHour(now, drip);
            var stretch = course.Add(station, now, inflow, ToAir(station, now.Litres - (LeastShare * startLitres), inflow), running, turn);
            var filled = running ? double.PositiveInfinity : now.Hours + stretch.Flows.HoursToVolume(now.Litres, standpipe);
            var draw = drawn < station.DrawOffs.Count ? station.DrawOffs[drawn].AtSeconds / 3600 : double.PositiveInfinity;
            var next = paced.Rests ? now.Hours + PacedInflow.StepFor(now, inflow, drip) : head.Falls ? now.Hours + FallingStepHours : double.PositiveInfinity;
            now = stretch.At(Math.Min(Math.Min(HorizonHours, next), Math.Max(now.Hours, Math.Min(filled, draw))));
            turn = filled <= now.Hours || draw <= now.Hours;
            if (filled <= now.Hours) (now, running) = (now with { Litres = standpipe }, true);
            if (draw <= now.Hours)
            {
                var least = LeastShare * startLitres;
                course.DrawnDry |= now.Litres - station.DrawOffs[drawn].Litres < least;
                var left = Math.Max(now.Litres - station.DrawOffs[drawn++].Litres, least);
                now = now with { Litres = left, DrawnLitres = now.DrawnLitres + now.Litres - left };
                running = now.Litres >= standpipe;
            }
        }

        return course;
    }

    /// <summary>The vessel <paramref name="hours"/> after the start, 0 to <see cref="HorizonHours"/>.</summary>
    public CourseAt At(double hours)
    {
        var (low, high) = (0, _stretches.Count - 1);
        while (low < high)
        {
            var middle = (low + high + 1) / 2;
            if (_stretches[middle].FromHours > hours) high = middle - 1;
            else low = middle;
        }

        return _stretches[low].At(hours);
    }

    /// <summary>What the air takes, L/h. Where a resting valve lets it take more than comes in, it takes no more in a step than leaves that last share.</summary>
    private static double ToAir(Station station, double litresToSpare, double litresPerHour)
    {
        var toAir = station.Evaporation.MillilitresPerHour / 1000;
        return toAir <= litresPerHour ? toAir : Math.Min(toAir, Math.Max(litresPerHour, litresToSpare / PacedInflow.LongestHours));
    }

    private Stretch Add(Station station, CourseAt now, double litresPerHour, double toAir, bool running, bool turn)
    {
        var flows = new SteadyFlows(litresPerHour, running ? litresPerHour - toAir : 0, toAir);
        var room = new HeatExchange(station.Vessel.HeatExchangeWattsPerKelvin, station.Room.TemperatureCelsius);
        var stretch = new Stretch(now, flows, turn,
            flows.Concentration(now.Litres, now.MicrosiemensPerCm, station.Waters.TankMicrosiemensPerCm),
            flows.Concentration(now.Litres, now.BagShare, 0),
            flows.Temperature(now.Litres, now.Celsius, station.Waters.TankTemperatureCelsius, room));
        _stretches.Add(stretch);
        return stretch;
    }

    private sealed record Stretch(CourseAt Start, SteadyFlows Flows, bool IsTurn, Relaxation Conductivity, Relaxation BagShare, Relaxation Celsius)
    {
        public double FromHours => Start.Hours;

        public CourseAt At(double hours)
        {
            var passed = Math.Max(hours - Start.Hours, 0);
            return new CourseAt(hours, Conductivity.LitresAfter(passed), Conductivity.ValueAfter(passed), Celsius.ValueAfter(passed),
                Start.InflowLitres + (Flows.InLitresPerHour * passed), Start.OutflowLitres + (Flows.OutLitresPerHour * passed), Start.DrawnLitres, BagShare.ValueAfter(passed));
        }
    }
}
