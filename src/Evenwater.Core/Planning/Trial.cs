using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>One station at one drip, judged: what a plan and each way beside it are made of.</summary>
internal sealed class Trial
{
    private readonly Func<Station, Prior>? _priorOf;

    private Trial(Station station, FlowRate flow, PlanTimes times, PlanWishes wishes, Func<Station, Prior>? priorOf, SureClosing? sure = null)
    {
        (Station, Flow, Times, Wishes, _priorOf, Sure) = (station, flow, times, wishes, priorOf, sure);
        WhenEven = double.IsPositiveInfinity(times.Even.Middle) ? null : times.Course.At(times.Even.Middle);
        WhenClosed = sure?.Closes ?? (WhenEven is { } even ? times.Course.At(Math.Min(even.Hours + (station.Match.DwellMinutes / 60), Course.HorizonHours)) : null);
        (SettlesAt, RestsAt) = (Settles(station, flow.LitresPerHour), Settles(station, 0));
        Obstacles = PlanObstacles.Of(this);
    }

    public Station Station { get; }

    public FlowRate Flow { get; }

    public PlanTimes Times { get; }

    public PlanWishes Wishes { get; }

    /// <summary>How it would end by its own estimator; null while that was not asked.</summary>
    public SureClosing? Sure { get; }

    public CourseAt? WhenEven { get; }

    public CourseAt? WhenClosed { get; }

    /// <summary>From even to closed, h: until it is sure, and the dwell time at least.</summary>
    public double UntilSureHours => Math.Max(WhenClosed?.Hours - WhenEven?.Hours ?? 0, Station.Match.DwellMinutes / 60);

    /// <summary>Where the temperature would settle if the drip went on.</summary>
    public Temperature SettlesAt { get; }

    /// <summary>Where it goes once the valve is closed.</summary>
    public Temperature RestsAt { get; }

    public IReadOnlyList<Remark<Obstacle>> Obstacles { get; }

    /// <summary>Judges one, as though it were sure as soon as it is even. Without <paramref name="doubt"/> the times are the calculation alone, which is ten times as quick.</summary>
    public static Trial Of(Station station, FlowRate flow, PlanWishes wishes, bool doubt = false, Func<Station, Prior>? priorOf = null)
        => new(station, flow, new PlanTimes(station, flow.LitresPerHour, doubt), wishes, priorOf);

    /// <summary>Another station, or another drip, judged for the same keeper.</summary>
    public Trial With(Station station, FlowRate? flow = null, bool doubt = false) => Of(station, flow ?? Flow, Wishes, doubt, _priorOf);

    /// <summary>The same as its own estimator would end it, which takes a hundred times as long; itself where nothing is known to begin that with, or it never is even.</summary>
    /// <param name="thought">The drip that is expected, where it is another than comes.</param>
    public Trial OnceSure(FlowRate? thought = null) => Sure is not null || _priorOf is null || WhenEven is null ? this
        : new(Station, Flow, Times, Wishes, _priorOf, SureClosing.Of(Station, _priorOf(Station) with { FlowMillilitresPerMinute = (thought ?? Flow).MillilitresPerMinute }, Flow));

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
