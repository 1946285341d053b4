namespace Evenwater.Hardware.Rig;

/// <summary>
/// What stands between the water and the floor, under the names of hardware/README.md. A rig can be built with any of them taken away, to see
/// what the others are worth.
/// </summary>
[Flags]
public enum Layers
{
    /// <summary>None.</summary>
    None = 0,

    /// <summary>The intake is as shallow as the station file says. Away: <see cref="RigFault.DeepIntakeMillimetres"/>.</summary>
    Intake = 1,

    /// <summary>The valve closes without current. Away: once opened it stays wide open, as water does that siphons through a stopped pump.</summary>
    Valve = 2,

    /// <summary>A float in series with the coil, beside the high float of the program. Away: a wire in its place.</summary>
    Float = 4,

    /// <summary>The driver lets go when its pulses end. Away: a line that is high holds the coil.</summary>
    Driver = 8,

    /// <summary>The program closes. Away: once it has opened, the pulses never end, whatever it decides.</summary>
    Program = 16,

    /// <summary>The tray or catch vessel. Away: it holds nothing.</summary>
    Catch = 32,

    /// <summary>All of them.</summary>
    All = Intake | Valve | Float | Driver | Program | Catch,

    /// <summary>As the rig is where nobody says: the program must close without a float in the coil's supply.</summary>
    Usual = All & ~Float,

    /// <summary>The program and a valve that obeys it, and nothing else.</summary>
    SoftwareAlone = Program | Valve,
}
