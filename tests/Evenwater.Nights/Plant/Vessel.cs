namespace Evenwater.Nights.Plant;

/// <summary>
/// The water in the vessel as three zones of fixed shares, exchanging with their neighbours: the surface the drops fall on, the body,
/// and the floor under it. Salt (as conductivity times litres), water and heat are kept exactly. One temperature for all.
/// </summary>
public sealed class Vessel
{
    public const int Surface = 0;
    public const int Body = 1;
    public const int Floor = 2;

    private readonly double[] _share;
    private readonly double[] _salt;

    public Vessel(double litres, double microsiemens, double celsius, double surfaceShare, double floorShare)
    {
        _share = [surfaceShare, 1 - surfaceShare - floorShare, floorShare];
        _salt = [.. _share.Select(s => s * litres * microsiemens)];
        Litres = litres;
        Celsius = celsius;
    }

    public double Litres { get; private set; }

    public double Celsius { get; private set; }

    /// <summary>µS/cm times L.</summary>
    public double Salt => _salt[Surface] + _salt[Body] + _salt[Floor];

    /// <summary>Conductivity of all of it stirred together, µS/cm.</summary>
    public double Mean => Salt / Litres;

    public double In(int zone) => _salt[zone] / (_share[zone] * Litres);

    /// <summary>Water falls into one zone, which then passes on to the others what keeps the shares.</summary>
    public void Pour(int zone, double litres, double microsiemens, double celsius)
    {
        if (litres <= 0)
        {
            return;
        }

        _salt[zone] += litres * microsiemens;
        var there = _salt[zone] / ((_share[zone] * Litres) + litres);
        for (var other = 0; other < _share.Length; other++)
        {
            var passed = other == zone ? 0 : _share[other] * litres * there;
            _salt[other] += passed;
            _salt[zone] -= passed;
        }

        Celsius += (celsius - Celsius) * litres / (Litres + litres);
        Litres += litres;
    }

    /// <summary>Water leaves one zone, which the others then fill up.</summary>
    public void Take(int zone, double litres)
    {
        if (litres <= 0)
        {
            return;
        }

        _salt[zone] -= litres * In(zone);
        for (var other = 0; other < _share.Length; other++)
        {
            var passed = other == zone ? 0 : _share[other] * litres * In(other);
            _salt[zone] += passed;
            _salt[other] -= passed;
        }

        Litres -= litres;
    }

    /// <summary>Water without salt goes to the air.</summary>
    public void Evaporate(double litres) => Litres -= litres;

    /// <summary>Heat comes from outside, as degrees times litres.</summary>
    public void Warm(double degreeLitres) => Celsius += degreeLitres / Litres;

    /// <summary>Two zones even out by this share of their difference, 0 to 1; 1 is stirring.</summary>
    public void Exchange(int one, int other, double share)
    {
        var even = (_salt[one] + _salt[other]) / (_share[one] + _share[other]);
        var moved = share * ((even * _share[one]) - _salt[one]);
        _salt[one] += moved;
        _salt[other] -= moved;
    }

    /// <summary>Somebody dips a jug in: all zones become one.</summary>
    public void Stir()
    {
        var all = Salt;
        for (var zone = 0; zone < _share.Length; zone++)
        {
            _salt[zone] = all * _share[zone];
        }
    }
}
