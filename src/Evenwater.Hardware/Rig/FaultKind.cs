namespace Evenwater.Hardware.Rig;

/// <summary>What can go wrong on the rig. The name on the command line is the same in kebab-case.</summary>
public enum FaultKind
{
    /// <summary>The drip loses half of its flow every two hours.</summary>
    SlowClog,

    /// <summary>The drip falls to an eighth at once.</summary>
    SuddenClog,

    /// <summary>The drip's restriction slips: three times the flow.</summary>
    SiphonSurge,

    /// <summary>A fifth of the flow passes the closed valve.</summary>
    LeakingValve,

    /// <summary>The vessel's conductivity probe repeats its last value.</summary>
    StuckProbe,

    /// <summary>The vessel's conductivity cell is unplugged.</summary>
    OpenProbe,

    /// <summary>The vessel's conductivity probe is fifteen times as noisy.</summary>
    NoisyProbe,

    /// <summary>No device on the I2C bus acknowledges.</summary>
    NoAnswer,

    /// <summary>Both floats hang: their contacts stay closed, as if dry.</summary>
    FloatStuckDry,

    /// <summary>The high float's wire is cut.</summary>
    FloatCut,

    /// <summary>The leak sensor turns wet.</summary>
    LeakWet,

    /// <summary>A quarter of the tank is replaced within a quarter of an hour by water that is colder and holds more salt.</summary>
    TankChange,

    /// <summary>The vessel's thermometer answers its power-on value, 85 °C.</summary>
    Thermometer85,

    /// <summary>The head over the drip falls by 15 cm an hour more than the two waters make it: the line's end slips upwards.</summary>
    FallingHead,

    /// <summary>The vessel's conductivity cell fouls and reads three per cent less with every hour.</summary>
    DriftingProbe,

    /// <summary>The vessel's conductivity cell comes out of the water and dries.</summary>
    DryProbe,

    /// <summary>The two conductivity cells change places; their thermometers stay.</summary>
    ProbesSwapped,

    /// <summary>The drop counter's beam is blocked.</summary>
    DropsBlocked,

    /// <summary>The scale's converter has lost its supply.</summary>
    ScaleSilent,

    /// <summary>The level sensor's wire is cut.</summary>
    LevelBroken,

    /// <summary>No power for <see cref="RigFault.PowerCutSeconds"/>: program and coil stop. The program is not the rig's, so who drives the rig cuts it.</summary>
    PowerCut,

    /// <summary>The leak sensor's line is shorted to ground: it reads dry for ever.</summary>
    LeakStuckDry,

    /// <summary>The driver is bridged: a line left high holds the coil, with pulses or without.</summary>
    DriverBridged,
}
