using System.Runtime.InteropServices;

namespace Evenwater.Running;

/// <summary>
/// Makes the C library give freed memory back. The compiler of the runtime and SQLite take from it on many threads; left alone it
/// keeps a heap for each of them, and keeps what was freed. About 15 MB of the demo's resident memory were such leftovers after half an hour.
/// </summary>
internal static class SmallHeap
{
    // mallopt(3) and malloc.h of the GNU C library. Setting a threshold also ends its growing by itself.
    private const int TrimThreshold = -1;
    private const int MmapThreshold = -3;
    private const int ArenaMax = -8;

    /// <summary>To be called before there are many threads. False, and nothing is changed, with another C library.</summary>
    public static bool Ask()
    {
        try
        {
            return SetOption(ArenaMax, 2) != 0 & SetOption(MmapThreshold, 64 * 1024) != 0 & SetOption(TrimThreshold, 128 * 1024) != 0;
        }
        catch (Exception e) when (e is DllNotFoundException or EntryPointNotFoundException)
        {
            return false;
        }
    }

    [DllImport("libc.so.6", EntryPoint = "mallopt")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int SetOption(int option, int value);
}
