using Evenwater.Core.Stations;

namespace Evenwater.Hardware.Rig;

/// <summary>The tank that the drip comes from: how far it has fallen, and what its water is.</summary>
internal sealed class SourceTank
{
    /// <summary>The fault tank-change: this share is replaced, evenly over this time, by water so many times as salty and so much colder.</summary>
    private const double ChangedShare = 0.25;
    private const double ChangeSeconds = 900;
    private const double NewSaltFactor = 1.6;
    private const double NewColderCelsius = 3;

    /// <summary>Period of the heater's switching, s.</summary>
    private const double SwingSeconds = 2400;

    private readonly Source _source;
    private readonly Waters _waters;
    private readonly double _swingCelsius;
    private readonly double _topOffLitres;
    private double _intakeMillimetres;
    private bool _refilled;
    private double _drawnLitres;

    public SourceTank(Station station, RigFacts facts)
    {
        _source = station.Source;
        _waters = station.Waters;
        _swingCelsius = facts.TankSwingCelsius;
        _intakeMillimetres = facts.IntakeMillimetres ?? _source.IntakeDepthMillimetres;
        _topOffLitres = _source.AutomaticTopOff ? _source.TopOffReservoirLitres ?? double.PositiveInfinity : 0;
        Ec25 = _waters.TankMicrosiemensPerCm;
        Celsius = _waters.TankTemperatureCelsius;
    }

    public double Ec25 { get; private set; }

    public double Celsius { get; private set; }

    /// <summary>How far the surface has fallen, m; an automatic top-off makes up for what it can.</summary>
    public double FallMetres => _refilled ? 0 : Math.Max(0, _drawnLitres - _topOffLitres) / 1000 / _source.SurfaceAreaSquareMetres;

    /// <summary>Whether the intake is still under water. Once it is not, air breaks the siphon.</summary>
    public bool IntakeIsWet => FallMetres < _intakeMillimetres / 1000;

    public void Draw(double litres) => _drawnLitres += litres;

    public void Step(double seconds, Faults faults)
    {
        _refilled = faults.IsOn(FaultKind.TopOffRuns, seconds);
        if (faults.IsOn(FaultKind.IntakeDeep, seconds))
        {
            _intakeMillimetres = Math.Max(_intakeMillimetres, RigFault.DeepIntakeMillimetres);
        }

        // A share replaced evenly over a time is the same as mixing that share in at the end, so both move on a straight line.
        var changed = ChangedShare * Math.Min(1, faults.SecondsOn(FaultKind.TankChange, seconds) / ChangeSeconds);
        Ec25 = _waters.TankMicrosiemensPerCm * (1 + (changed * (NewSaltFactor - 1)));
        Celsius = _waters.TankTemperatureCelsius - (changed * NewColderCelsius)
            + (_swingCelsius * Math.Sin(2 * Math.PI * seconds / SwingSeconds));
    }
}
