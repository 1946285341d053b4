namespace Evenwater.Core.Estimation;

/// <summary>Positions in a hypothesis's state. Conductivities are in the units of the vessel's probe. The first ten are what a forecast starts from.</summary>
internal static class State
{
    /// <summary>ln of the vessel's volume in L.</summary>
    public const int LnVolume = 0;

    /// <summary>ln of the open flow in mL/min, at the present level.</summary>
    public const int LnFlow = 1;

    /// <summary>Steady drift of ln flow per hour: what clogs, what comes loose.</summary>
    public const int Drift = 2;

    /// <summary>How much of the flow is lost as the water rises by one brim: the head falls.</summary>
    public const int Head = 3;

    /// <summary>Mixed vessel, µS/cm.</summary>
    public const int Mixed = 4;

    /// <summary>Tank, µS/cm.</summary>
    public const int Tank = 5;

    /// <summary>ln of the share of the vessel's water that is still its first water.</summary>
    public const int LnKept = 6;

    /// <summary>The vessel's temperature, °C.</summary>
    public const int Warmth = 7;

    /// <summary>ln of how fast the vessel takes on the room's temperature, per hour.</summary>
    public const int LnExchange = 8;

    /// <summary>The temperature the vessel would take without any drip, °C: the room less what evaporation cools.</summary>
    public const int Surroundings = 9;

    /// <summary>How many of them a forecast needs.</summary>
    public const int Future = 10;

    /// <summary>What the vessel's probe feels of the mixed water, µS/cm.</summary>
    public const int Probe = 10;

    /// <summary>ln of (tank probe's gain / vessel probe's gain).</summary>
    public const int LnGain = 11;

    /// <summary>Slow wander of the vessel's probe, µS/cm.</summary>
    public const int Wander = 12;

    /// <summary>How many times the usual lag the vessel's probe is behind the mixed water: less than 0 when the drip touches it first.</summary>
    public const int LagShare = 13;

    /// <summary>What the mixed water was a while ago, µS/cm: corners that exchange slowly still hold it.</summary>
    public const int Slow = 14;

    /// <summary>Share of the vessel that exchanges slowly: so far the probe in the stirred part runs ahead of the whole.</summary>
    public const int SlowShare = 15;

    /// <summary>Share of fresh tank water in what the vessel's probe touches while the drip runs: it hangs near where the drops fall.</summary>
    public const int Touch = 16;

    /// <summary>How many of them every station has.</summary>
    public const int Usual = 17;

    /// <summary>Error of the load cell's zero, kg.</summary>
    public const int Tare = 17;

    /// <summary>Error of the level sensor's zero, mm.</summary>
    public const int LevelOffset = 18;

    /// <summary>ln of (true / nominal volume of a drop).</summary>
    public const int LnDrop = 19;

    /// <summary>Length of the state with every sensor fitted.</summary>
    public const int Size = 20;
}
