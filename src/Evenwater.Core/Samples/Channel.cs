namespace Evenwater.Core;

/// <summary>What a station can measure. The number is stored in the log: append, never renumber.</summary>
public enum Channel : byte
{
    /// <summary>Conductivity of the vessel. Raw: ADC counts. Value: µS/cm at 25 °C.</summary>
    VesselConductivity = 0,

    /// <summary>Temperature of the vessel. Raw: 1/16 °C. Value: °C.</summary>
    VesselTemperature = 1,

    /// <summary>Conductivity of the source tank. Raw: ADC counts. Value: µS/cm at 25 °C.</summary>
    TankConductivity = 2,

    /// <summary>Temperature of the source tank. Raw: 1/16 °C. Value: °C.</summary>
    TankTemperature = 3,

    /// <summary>Low float of the vessel, debounced. 1 = wet.</summary>
    FloatLow = 4,

    /// <summary>High float of the vessel, debounced. 1 = wet, and also when its wire is cut.</summary>
    FloatHigh = 5,

    /// <summary>Leak sensor on the floor, debounced. 1 = wet, and also when its wire is cut.</summary>
    Leak = 6,

    /// <summary>Drops counted since the last cycle or, in a trace, the last row: each is in one sample alone.</summary>
    Drops = 7,

    /// <summary>The vessel's water on the load cell. Raw: the converter's counts. Value: kg.</summary>
    Mass = 8,

    /// <summary>Height of the water above the vessel's bottom. Raw: ADC counts. Value: mm.</summary>
    Level = 9,

    /// <summary>Light over the tank. Raw: the sensor's counts. Value: lx.</summary>
    TankLight = 10,
}

/// <summary>Facts about the channels.</summary>
public static class Channels
{
    /// <summary>How many channels there are.</summary>
    public const int Count = 11;

    /// <summary>True for the switches, whose value is 0 or 1.</summary>
    public static bool IsSwitch(Channel channel) => channel is Channel.FloatLow or Channel.FloatHigh or Channel.Leak;

    /// <summary>Whether a run rests on it. Light is for the tank's own record: its sensor closes, holds up and blinds nothing.</summary>
    public static bool IsOfRun(Channel channel) => channel != Channel.TankLight;
}
