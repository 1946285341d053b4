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

    /// <summary>The valve hangs wide open, with current or without.</summary>
    ValveStuckOpen,

    /// <summary>The coil gets no current any more, whatever is broken on the way to it.</summary>
    CoilDead,

    /// <summary>Something pulses the line without end: another program, or this one that decides wrongly.</summary>
    PulsesOn,

    /// <summary>The driver conducts whatever the line does. The float in series still closes.</summary>
    DriverStuckOn,

    /// <summary>The float in series with the coil hangs dry, is bypassed, or its contact has welded.</summary>
    SeriesFloatDry,

    /// <summary>The intake slips down to <see cref="RigFault.DeepIntakeMillimetres"/> below the surface.</summary>
    IntakeDeep,

    /// <summary>A top-off or a return pump makes good all that the siphon takes: the tank does not fall.</summary>
    TopOffRuns,

    /// <summary>The tube's end falls out of the vessel; the drip goes on beside it, into the tray.</summary>
    TubeOut,

    /// <summary>The standpipe is blocked.</summary>
    StandpipeBlocked,

    /// <summary>A person pours <see cref="RigFault.PouredLitres"/> of the first water into the vessel and tells nobody.</summary>
    PouredIn,

    /// <summary>The vessel and its marks hold a quarter less than was told. All night, whatever the moment.</summary>
    VesselSmaller,

    /// <summary>The low float's contact bounces, twice in a quarter of a minute.</summary>
    LowFloatBounces,

    /// <summary>No switch's line can be read.</summary>
    SwitchesLost,

    /// <summary>The waters around the two conductivity cells are joined: each reads a tenth of the other's beside its own.</summary>
    ProbesJoined,

    /// <summary>A person takes <see cref="RigFault.HandLitres"/> out of the vessel and tells nobody.</summary>
    DrawnUntold,

    /// <summary>The cycle stands still while the thread of the pulses goes on. Who drives the rig does it.</summary>
    CycleHangs,

    /// <summary>The whole program stops between two pulses, the valve's line high, and is not started again. Who drives the rig does it.</summary>
    ProcessStops,

    /// <summary>A bus never answers the probes' thread, which stands still. Who drives the rig does it.</summary>
    ProbesHang,

    /// <summary>The log can commit nothing any more. Who drives the rig does it.</summary>
    LogLost,

    /// <summary>A person tells of <see cref="RigFault.HandLitres"/> drawn off that were not. Who drives the rig does it.</summary>
    ClaimedDrawOff,

    /// <summary>A person resets and begins again every ten minutes, whatever is said. Who drives the rig does it.</summary>
    KeeperResets,
}
