namespace Evenwater.Hardware;

/// <summary>Where the text of a 1-wire thermometer comes from: the kernel's files, or the simulated rig.</summary>
public interface IOneWire
{
    /// <summary>
    /// What the kernel's w1_slave file of one device says now, or null when there is no such device.
    /// On a computer this starts a conversion and blocks for up to 0.75 s.
    /// </summary>
    /// <param name="id">Family and serial number, such as 28-0000054b97a5.</param>
    string? Read(string id);
}
