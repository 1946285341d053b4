using Evenwater.Core.Stations;

namespace Evenwater.Hardware.Rig;

/// <summary>What the drop counter, the scale and the level sensor make of the plant, up to the wires.</summary>
internal sealed class VolumeSenses(Station station, RigFacts facts, Faults faults, Plant plant)
{
    /// <summary>Fresh water at 23 °C, kg/L (IAPWS-95: 0.99755).</summary>
    private const double FreshKilogramsPerLitre = 0.9975;

    /// <summary>What salt adds, kg/L for each µS/cm at 25 °C: sea water of 53,000 µS/cm weighs 1.0235 kg/L (EOS-80, from memory).</summary>
    private const double SaltKilograms = 0.5e-6;

    private readonly LevelInput? _level = station.Sensors.Level;
    private readonly LoadCellInput? _cell = station.Sensors.LoadCell;
    private double _hanging;

    /// <summary>At the level sensor's ADC input, V.</summary>
    public double LevelVolts { get; private set; }

    /// <summary>The scale's converter.</summary>
    public FakeHx711 Scale { get; } = new();

    /// <summary>What a person has poured into the otherwise empty vessel, fresh water from the tap, L; null: the night's own water is in it.</summary>
    public double? PouredLitres { get; set; }

    /// <summary>Whether the drop counter's beam is dark for good.</summary>
    public bool BeamIsBlocked { get; private set; }

    /// <summary>How many drops fell in the last step.</summary>
    public int Drops { get; private set; }

    /// <summary>Follows the plant for one step.</summary>
    public void Step(double atSeconds, double seconds, ref Pcg random)
    {
        var litres = PouredLitres ?? plant.Vessel.Litres;
        _hanging += plant.InflowMillilitresPerMinute / 60 * seconds;
        BeamIsBlocked = faults.IsOn(FaultKind.DropsBlocked, atSeconds);
        var fallen = Math.Floor(_hanging / facts.DropMillilitres);
        _hanging -= fallen * facts.DropMillilitres;
        Drops = BeamIsBlocked ? 0 : (int)fallen;

        var kilograms = (litres * (FreshKilogramsPerLitre + (PouredLitres is null ? SaltKilograms * plant.Vessel.Ec25 : 0)))
            + facts.ScaleZeroKilograms + (facts.ScaleNoiseKilograms * random.NextNormal());
        Scale.Silent = faults.IsOn(FaultKind.ScaleSilent, atSeconds);
        Scale.Convert(_cell is null ? 0 : _cell.ZeroCounts + (_cell.CountsPerKilogram * kilograms));

        // 1 L on 1 m2 is 1 mm.
        var millimetres = (litres / (station.Vessel.AreaSquareMetres ?? 1)) + facts.LevelZeroMillimetres + (facts.LevelNoiseMillimetres * random.NextNormal());
        LevelVolts = _level is null || faults.IsOn(FaultKind.LevelBroken, atSeconds) ? 0 : Math.Max(0, _level.ZeroVolts + (millimetres / _level.MillimetresPerVolt));
    }
}
