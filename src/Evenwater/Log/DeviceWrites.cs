
namespace Evenwater.Log;

/// <summary>What this program has caused to be written to disks, as the kernel counts it: a card bears only so much.</summary>
internal static class DeviceWrites
{
    private const string Key = "write_bytes:";

    /// <summary>Bytes since the program was started (proc(5), /proc/PID/io); null where the kernel does not tell. A tmpfs is no device and counts nothing.</summary>
    public static long? Bytes()
    {
        try
        {
            var line = File.ReadLines("/proc/self/io").FirstOrDefault(l => l.StartsWith(Key, StringComparison.Ordinal));
            return line is null ? null : long.Parse(line[Key.Length..]);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
