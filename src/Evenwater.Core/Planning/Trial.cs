using Evenwater.Core.Mixing;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>One station at one drip, judged: what a plan and each way beside it are made of.</summary>
internal sealed class Trial
{
    private Trial(Station station, FlowRate flow, PlanTimes times, PlanWishes wishes, CourseAt? onceSure)
    {
        (Station, Flow, Times) = (station, flow, times);
        WhenEven = double.IsPositiveInfinity(times.Even.Middle) ? null : times.Course.At(times.Even.Middle);
        WhenClosed = onceSure ?? (WhenEven is { } even ? times.Course.At(Math.Min(even.Hours + (station.Match.DwellMinutes / 60), Course.HorizonHours)) : null);
        (SettlesAt, RestsAt) = (Settles(station, flow.LitresPerHour), Settles(station, 0));
        Obstacles = PlanObstacles.Of(station, times, WhenClosed, SettlesAt.Celsius, wishes);
    }

    public Station Station { get; }

    public FlowRate Flow { get; }

    public PlanTimes Times { get; }

    public CourseAt? WhenEven { get; }

    public CourseAt? WhenClosed { get; }

    /// <summary>Where the temperature would settle if the drip went on.</summary>
    public Temperature SettlesAt { get; }

    /// <summary>Where it goes once the valve is closed.</summary>
    public Temperature RestsAt { get; }

    public IReadOnlyList<Remark<Obstacle>> Obstacles { get; }

    /// <summary>Judges one. Without <paramref name="doubt"/> the times are the calculation alone, which is ten times as quick; <paramref name="onceSure"/> is when it closes where that is not the dwell time after it is even.</summary>
    public static Trial Of(Station station, FlowRate flow, PlanWishes wishes, bool doubt = false, CourseAt? onceSure = null)
        => new(station, flow, new PlanTimes(station, flow.LitresPerHour, doubt), wishes, onceSure);

    /// <summary>Whether a temperature is within the station's tolerance of its tank.</summary>
    public bool IsNear(Temperature temperature)
        => Math.Abs(temperature.Celsius - Station.Waters.TankTemperatureCelsius) <= Station.Match.TemperatureToleranceCelsius;

    private static Temperature Settles(Station station, double litresPerHour)
    {
        var room = new HeatExchange(station.Vessel.HeatExchangeWattsPerKelvin, station.Room.TemperatureCelsius);
        var celsius = new SteadyFlows(litresPerHour, 0, station.Evaporation.MillilitresPerHour / 1000)
            .Temperature(station.Vessel.StartVolumeLitres, station.Waters.BagTemperatureCelsius, station.Waters.TankTemperatureCelsius, room).SettlesAt;
        // Strong evaporation with next to no exchange has no sensible answer; the air's humidity would stop it.
        return Temperature.FromCelsius(Math.Clamp(celsius, Temperature.MinCelsius, Temperature.MaxCelsius));
    }
}
