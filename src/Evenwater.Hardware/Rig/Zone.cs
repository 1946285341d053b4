namespace Evenwater.Hardware.Rig;

/// <summary>A well-stirred part of the vessel.</summary>
internal struct Zone
{
    /// <summary>Heat of evaporation over heat capacity, K: 2.45 MJ/kg over 4.18 kJ/(kg K).</summary>
    private const double EvaporationKelvin = 586;

    /// <summary>Volume, L.</summary>
    public double Litres;

    /// <summary>Conductivity at 25 °C times volume, µS/cm L.</summary>
    public double Salt;

    /// <summary>Temperature times volume, °C L.</summary>
    public double Heat;

    public readonly double Ec25 => Salt / Litres;

    public readonly double Celsius => Heat / Litres;

    public void Add(double litres, double ec25, double celsius)
    {
        Litres += litres;
        Salt += litres * ec25;
        Heat += litres * celsius;
    }

    public void Take(double litres)
    {
        if (litres != 0)
        {
            Add(-litres, Ec25, Celsius);
        }
    }

    public void Evaporate(double share)
    {
        var litres = share * Litres;
        if (litres > 0)
        {
            Heat -= litres * (Celsius + EvaporationKelvin);
            Litres -= litres;
        }
    }

    public void Approach(double celsius, double share) => Heat += share * ((celsius * Litres) - Heat);

    /// <summary>Moves water; a negative amount moves it back.</summary>
    public static void Move(ref Zone from, ref Zone to, double litres)
    {
        if (litres > 0)
        {
            to.Add(litres, from.Ec25, from.Celsius);
            from.Take(litres);
        }
        else if (litres < 0)
        {
            from.Add(-litres, to.Ec25, to.Celsius);
            to.Take(-litres);
        }
    }

    /// <summary>Swaps equal amounts of water.</summary>
    public static void Exchange(ref Zone one, ref Zone other, double litres)
    {
        if (litres > 0)
        {
            var salt = litres * (one.Ec25 - other.Ec25);
            var heat = litres * (one.Celsius - other.Celsius);
            one.Salt -= salt;
            other.Salt += salt;
            one.Heat -= heat;
            other.Heat += heat;
        }
    }
}
