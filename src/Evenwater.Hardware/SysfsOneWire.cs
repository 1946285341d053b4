namespace Evenwater.Hardware;

/// <summary>
/// The kernel's w1_therm files: ROOT/ID/w1_slave. Opened anew for each read, because each open starts a conversion and
/// because the folder goes and comes back when a probe is unplugged.
/// </summary>
/// <param name="root">Normally /sys/bus/w1/devices.</param>
public sealed class SysfsOneWire(string root) : IOneWire
{
    /// <inheritdoc/>
    public string? Read(string id)
    {
        try
        {
            return File.ReadAllText(Path.Combine(root, id, "w1_slave"));
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
