using Evenwater.Core.Estimation;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>
/// A station's night as the closed forms give it, turned into readings without noise: exactly as expected, with every sensor that is
/// fitted, nobody drawing off and the valve open throughout. Each reading moves up and down by half a count, as a living probe's does.
/// </summary>
internal sealed class ImaginedNight
{
    /// <summary>Seconds between readings.</summary>
    public const double StepSeconds = 5;

    private readonly Station _station;
    private readonly Course _course;
    private readonly double _half;
    private readonly double _kilogramsPerLitre;
    private double _drops;

    public ImaginedNight(Station station, Prior prior)
    {
        _station = station with { DrawOffs = [], Pacing = null };
        var flow = FlowRate.FromMillilitresPerMinute(prior.FlowMillilitresPerMinute ?? RateProposal.MillilitresPerMinute(_station, RateProposal.UsualHours));
        _course = Course.Of(_station, prior.StartVolumeLitres, flow.LitresPerHour);
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

    /// <summary>The vessel so many hours into it.</summary>
    public CourseAt Vessel(double hours) => _course.At(hours);

    /// <summary>What the sensors read so many seconds into it; to be asked in order of time.</summary>
    public Readings At(double seconds)
    {
        var (now, at) = (MonotonicTime.FromSeconds(seconds), _course.At(seconds / 3600));
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
}
