using Evenwater.Core.Estimation;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>
/// A station's night as the closed forms give it, turned into readings without noise: exactly as expected, with every sensor that is fitted, draw-offs made when they are planned
/// and a paced valve opening as soon as a pulse is due. Each reading moves up and down by half a count, as a living probe's does.
/// </summary>
internal sealed class ImaginedNight
{
    /// <summary>Seconds between readings.</summary>
    public const double StepSeconds = 5;

    private readonly Station _station;
    private readonly Course _course;
    private readonly double _half;
    private readonly double _kilogramsPerLitre;
    private readonly FlowRate _drip;
    private readonly FallingHead _head;
    private double _courseHours;
    private double _drops;

    /// <summary>The night of a station.</summary>
    /// <param name="station">The station.</param>
    /// <param name="prior">What is known before the run; it is taken as true.</param>
    /// <param name="drip">The drip, where it is another than is thought.</param>
    public ImaginedNight(Station station, Prior prior, FlowRate? drip = null)
    {
        _station = station;
        _drip = drip ?? FlowRate.FromMillilitresPerMinute(prior.FlowMillilitresPerMinute ?? RateProposal.MillilitresPerMinute(_station, RateProposal.UsualHours));
        _head = FallingHead.Of(station, prior.StartVolumeLitres);
        _course = Course.Of(_station, prior.StartVolumeLitres, _drip.LitresPerHour);
        Vessel = _course.At(0);
        _kilogramsPerLitre = prior.KilogramsPerLitre;
        _half = prior.QuantisationMicrosiemensPerCm / 2;
        var mark = StationRules.MarkLitres(station.Vessel);
        EvenHours = CourseSearch.FirstWhen(_course, at => Math.Abs(at.MicrosiemensPerCm - station.Waters.TankMicrosiemensPerCm) <= prior.ToleranceMicrosiemensPerCm);
        MarkHours = CourseSearch.FirstWhen(_course, at => at.Litres >= mark);
    }

    /// <summary>When the waters are even in conductivity, h; infinite when never.</summary>
    public double EvenHours { get; }

    /// <summary>When the water is at its mark, h; infinite when never.</summary>
    public double MarkHours { get; }

    /// <summary>The vessel at the last moment that was asked for.</summary>
    public CourseAt Vessel { get; private set; }

    /// <summary>Whether the valve is open from then on.</summary>
    public bool ValveOpen { get; private set; } = true;

    /// <summary>What the sensors read so many seconds into it; to be asked every <see cref="StepSeconds"/>, in order of time.</summary>
    public Readings At(double seconds)
    {
        if (_station.Pacing is { } pacing) Pulse(seconds / 3600, pacing.LeastPulseSeconds / 3600);
        else _courseHours = seconds / 3600;
        var (now, at) = (MonotonicTime.FromSeconds(seconds), _course.At(_courseHours) with { Hours = seconds / 3600 });
        Vessel = at;
        var (sensors, waters, floats) = (_station.Sensors, _station.Waters, _station.Floats);
        var dither = Math.Round(seconds / StepSeconds) % 2 == 0 ? _half : -_half;
        var readings = Readings.None();
        Set(Channel.VesselConductivity, true, at.MicrosiemensPerCm + dither);
        Set(Channel.VesselTemperature, true, at.Celsius);
        Set(Channel.TankConductivity, sensors.TankConductivity is not null, waters.TankMicrosiemensPerCm - dither);
        Set(Channel.TankTemperature, sensors.TankThermometer is not null, waters.TankTemperatureCelsius);
        Set(Channel.FloatLow, floats.LowLitres is not null, at.Litres >= floats.LowLitres ? 1 : 0);
        Set(Channel.FloatHigh, floats.HighLitres is not null, at.Litres >= floats.HighLitres ? 1 : 0);
        Set(Channel.Mass, sensors.LoadCell is not null, at.Litres * _kilogramsPerLitre);
        Set(Channel.Level, sensors.Level is not null, at.Litres / (_station.Vessel.AreaSquareMetres ?? 1)); // 1 L on 1 m2 is 1 mm
        var fallen = Math.Floor(at.InflowLitres * 1000 / _station.Drip.DropMillilitres);
        Set(Channel.Drops, sensors.DropCounterLine is not null, fallen - _drops);
        _drops = fallen;
        return readings;

        void Set(Channel channel, bool fitted, double value) => readings[channel] = fitted ? Reading.Of(value, now) : readings[channel];
    }

    /// <summary>The course of a paced station tells what may have come in by now; the drip brings that in pulses, so that the water is as it is a little earlier in the course.</summary>
    private void Pulse(double hours, double leastHours)
    {
        const double Step = StepSeconds / 3600;
        var drip = _drip.LitresPerHour * _head.FactorAt(Vessel.Litres, Vessel.InflowLitres, 0, rises: false);
        var came = Vessel.InflowLitres + (ValveOpen ? drip * Step : 0);
        while (_courseHours < hours && _course.At(_courseHours + Step).InflowLitres <= came * (1 + 1e-9)) _courseHours += Step;
        var due = _course.At(hours).InflowLitres - _course.At(_courseHours).InflowLitres;
        ValveOpen = ValveOpen ? _courseHours < hours : due >= drip * leastHours;
    }
}
