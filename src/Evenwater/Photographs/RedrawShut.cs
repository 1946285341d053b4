using Microsoft.Win32.SafeHandles;
using SkiaSharp;

namespace Evenwater.Photographs;

/// <summary>
/// Shuts the process that decodes a stranger's picture off from all that has to be opened: no file, no device, no socket, no pipe, whatever code then runs in it. What it needs
/// of its own is loaded before; what it was handed and does not need is closed.
/// </summary>
internal static class RedrawShut
{
    /// <summary>Its three streams, which it was given.</summary>
    private const int Streams = 3;

    // What a library may have opened without saying that it is not for children: the pins, the buses, a connection.
    private static readonly string[] s_handed = ["/dev/i2c", "/dev/gpiochip", "anon_inode:gpio", "socket:"];

    /// <summary>Loads what redrawing needs, by redrawing a picture of our own.</summary>
    public static void Load()
    {
        using var bitmap = new SKBitmap(16, 16);
        using var picture = bitmap.Encode(SKEncodedImageFormat.Jpeg, 50);
        var (_, jpeg) = Redraw.Of(picture.ToArray());
        using (jpeg)
        {
            jpeg?.SaveTo(Stream.Null);
        }
    }

    /// <summary>Shuts it off.</summary>
    /// <returns>Whether that was granted.</returns>
    public static bool Take()
    {
        foreach (var (number, _) in Open().Where(open => open.Number >= Streams && Array.Exists(s_handed, handed => open.To.StartsWith(handed, StringComparison.Ordinal))).ToList())
        {
            new SafeFileHandle(number, ownsHandle: true).Dispose();
        }

        // getrlimit(2), RLIMIT_NOFILE: one more than the highest number that may be given out; what is open stays so. Not tried out here: the exception alone would need a file.
        return RedrawLimits.Files(Streams);
    }

    /// <summary>What is open, and where it leads.</summary>
    private static IEnumerable<(int Number, string To)> Open() =>
        from file in new DirectoryInfo("/proc/self/fd").EnumerateFileSystemInfos()
        where int.TryParse(file.Name, out _)
        let to = file.LinkTarget
        where to is not null
        select (int.Parse(file.Name), to);
}
