using Evenwater.Core;

namespace Evenwater.Nights.Plant;

/// <summary>All sensors of one station.</summary>
public sealed class Instruments
{
    private const double ThermometerNoise = 0.05;

    private readonly NightPlan _plan;
    private readonly Chance _chance;
    private readonly ConductivityProbe _vesselProbe;
    private readonly ConductivityProbe? _tankProbe;
    private readonly FloatSwitch? _low;
    private readonly FloatSwitch? _high;
    private readonly DropCounter? _drops;
    private readonly Scale? _loadCell;
    private readonly Scale? _level;
    private readonly double _areaSquareMetres;

    public Instruments(NightPlan plan, Chance chance)
    {
        _plan = plan;
        _chance = chance;
        var step = plan.PeriodSeconds;
        _vesselProbe = new ConductivityProbe(plan.VesselProbe, chance, step);
        _tankProbe = plan.TankProbe is { } t ? new ConductivityProbe(t, chance, step) : null;
        _low = plan.FloatLow is { } l ? new FloatSwitch(l, chance) : null;
        _high = plan.FloatHigh is { } h ? new FloatSwitch(h, chance) : null;
        _drops = plan.Drops is { } d ? new DropCounter(d) : null;
        _loadCell = plan.LoadCell is { } c ? new Scale(c, chance, step) : null;
        _level = plan.Level is { } v ? new Scale(v, chance, step) : null;
        _areaSquareMetres = plan.Prior.VesselAreaSquareMetres ?? 0.04;
    }

    /// <summary>The probes follow the water they hang in, whether anybody reads them or not.</summary>
    public void Feel(double seconds, Vessel vessel, Tank tank, double millilitresPerMinute)
    {
        var there = vessel.In(_plan.Stirring.ProbeZone);
        var felt = millilitresPerMinute > 0 ? there + (_plan.Stirring.TouchShare * (tank.Microsiemens - there)) : there;
        var swapped = seconds >= _plan.SwappedFromSeconds;
        _vesselProbe.Follow(swapped ? tank.Microsiemens : felt);
        _tankProbe?.Follow(swapped ? felt : tank.Microsiemens);
    }

    public Readings Read(double seconds, Vessel vessel, Tank tank)
    {
        var at = MonotonicTime.FromSeconds(seconds);
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = _vesselProbe.Read(seconds, at);
        readings[Channel.VesselTemperature] = Temperature(vessel.Celsius + _plan.VesselThermometerOffset, at);
        if (_tankProbe is not null)
        {
            readings[Channel.TankConductivity] = _tankProbe.Read(seconds, at);
            readings[Channel.TankTemperature] = Temperature(tank.Celsius + _plan.TankThermometerOffset, at);
        }

        Put(ref readings, Channel.FloatLow, _low?.Read(seconds, vessel.Litres, at));
        Put(ref readings, Channel.FloatHigh, _high?.Read(seconds, vessel.Litres, at));
        Put(ref readings, Channel.Drops, _drops?.Read(at));
        Put(ref readings, Channel.Mass, _loadCell?.Read(vessel.Litres * KilogramsPerLitre(vessel.Mean), at));
        Put(ref readings, Channel.Level, _level?.Read(vessel.Litres / _areaSquareMetres, at));
        return readings;
    }

    /// <summary>So much has dripped in so long.</summary>
    public void Pass(double litres, double seconds)
    {
        _drops?.Pass(1000 * litres, seconds);
        _loadCell?.Pass();
        _level?.Pass();
    }

    /// <summary>Pure water at 25 °C 0.997, sea water of 53 mS/cm 1.023 (UNESCO 1981, EOS-80), straight between.</summary>
    private static double KilogramsPerLitre(double microsiemens) => 0.997 + (0.026 * microsiemens / 53_000);

    private static void Put(ref Readings readings, Channel channel, Reading? reading)
    {
        if (reading is { } there)
        {
            readings[channel] = there;
        }
    }

    private Reading Temperature(double celsius, MonotonicTime at) =>
        Reading.Of(Math.Round(100 * (celsius + (ThermometerNoise * _chance.Gauss()))) / 100, at);
}
