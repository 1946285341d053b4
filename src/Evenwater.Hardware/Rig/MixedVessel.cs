namespace Evenwater.Hardware.Rig;

/// <summary>
/// Water in three parts of fixed shares: a plume of fresh inflow, the main zone where the probe sits, and a slow dead zone.
/// What moves between them is moved, never made: salt and heat are conserved exactly but for rounding.
/// <para>
/// Salt is carried as conductivity at 25 °C times volume. Real conductivity is not quite additive: half and half of two like
/// waters reads up to about 2 % above the mean (PHREEQC, hard water of 200 and 800 µS/cm). That is left out here.
/// </para>
/// </summary>
internal sealed class MixedVessel
{
    private readonly double _plumeFraction;
    private readonly double _deadFraction;
    private readonly double _plumeSeconds;
    private readonly double _deadSeconds;
    private Zone _plume;
    private Zone _main;
    private Zone _dead;

    public MixedVessel(RigFacts facts, double ec25, double celsius)
    {
        _plumeFraction = facts.PlumeFraction;
        _deadFraction = facts.DeadFraction;
        _plumeSeconds = facts.PlumeSeconds;
        _deadSeconds = facts.DeadSeconds;
        _main.Add(facts.StartVolumeLitres, ec25, celsius);
        Rebalance();
    }

    public double Litres => _plume.Litres + _main.Litres + _dead.Litres;

    /// <summary>Conductivity at 25 °C times volume, µS/cm L.</summary>
    public double Salt => _plume.Salt + _main.Salt + _dead.Salt;

    /// <summary>Mean over all water, µS/cm at 25 °C.</summary>
    public double Ec25 => Salt / Litres;

    /// <summary>Mean over all water, °C.</summary>
    public double Celsius => (_plume.Heat + _main.Heat + _dead.Heat) / Litres;

    /// <summary>Where the probe sits, µS/cm at 25 °C.</summary>
    public double MainEc25 => _main.Ec25;

    /// <summary>Where the probe sits, °C.</summary>
    public double MainCelsius => _main.Celsius;

    /// <summary>Adds inflow to the plume, L.</summary>
    public void Pour(double litres, double ec25, double celsius)
    {
        _plume.Add(litres, ec25, celsius);
        Rebalance();
    }

    /// <summary>Lets water above a level run off from the main zone; returns how much, L.</summary>
    public double RunOffAbove(double limitLitres)
    {
        var excess = Litres - limitLitres;
        if (excess <= 0)
        {
            return 0;
        }

        _main.Take(excess);
        Rebalance();
        return excess;
    }

    /// <summary>Takes water from everywhere alike, at most nine tenths of it; returns how much, L.</summary>
    public double Scoop(double litres)
    {
        var taken = Math.Min(litres, 0.9 * Litres);
        var share = taken / Litres;
        _plume.Take(share * _plume.Litres);
        _main.Take(share * _main.Litres);
        _dead.Take(share * _dead.Litres);
        return taken;
    }

    /// <summary>Removes water to the air from everywhere alike; the salt stays, and the heat of evaporation goes.</summary>
    public void Evaporate(double litres)
    {
        var share = litres / Litres;
        _plume.Evaporate(share);
        _main.Evaporate(share);
        _dead.Evaporate(share);
    }

    /// <summary>Mixes the zones, and lets the room warm or cool all of them, for a short while.</summary>
    /// <param name="seconds">How long.</param>
    /// <param name="roomCelsius">The air.</param>
    /// <param name="litresPerSecond">Exchange with the room as the flow of water that would carry it.</param>
    public void MixAndExchange(double seconds, double roomCelsius, double litresPerSecond)
    {
        Zone.Exchange(ref _plume, ref _main, _plume.Litres * (1 - Math.Exp(-seconds / _plumeSeconds)));
        Zone.Exchange(ref _dead, ref _main, _dead.Litres * (1 - Math.Exp(-seconds / _deadSeconds)));
        var share = litresPerSecond * seconds / Litres;
        _plume.Approach(roomCelsius, share);
        _main.Approach(roomCelsius, share);
        _dead.Approach(roomCelsius, share);
    }

    private void Rebalance()
    {
        var litres = Litres;
        Zone.Move(ref _plume, ref _main, _plume.Litres - (_plumeFraction * litres));
        Zone.Move(ref _dead, ref _main, _dead.Litres - (_deadFraction * litres));
    }
}
