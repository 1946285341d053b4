using System.Globalization;
using System.Runtime.InteropServices;
using Evenwater.Running;

namespace Evenwater.Photographs;

/// <summary>What the process that decodes a stranger's picture may take of the machine. It binds itself before it reads a byte; nothing that it reads can loosen that.</summary>
internal static class RedrawLimits
{
    /// <summary>Memory beyond what the runtime has at the start, bytes. 48 MB are 12 megapixels at 4 bytes, a third more for their halved copies, 24 MB the file twice; the rest is what the decoders take. A progressive JPEG of 24 megapixels takes about 100 MB, one of 50 more than there is.</summary>
    public const long MoreBytes = 120_000_000;

    /// <summary>Processor time, s. Our own choice: 12 megapixels take about a second of a small board's.</summary>
    public const int CpuSeconds = 20;

    // resource.h of Linux, the same on x86-64, arm64 and arm.
    private const int Cpu = 0;
    private const int FileSize = 1;
    private const int Data = 2;
    private const int Core = 4;

    /// <summary>Takes the limits on.</summary>
    /// <returns>Whether all of them hold.</returns>
    public static bool Take()
    {
        try
        {
            File.WriteAllText("/proc/self/oom_score_adj", "1000"); // proc(5): when memory is short, this one first
            return Urgent.GoLast()
                && Set(Core, 0) && Set(FileSize, 0) && Set(Cpu, CpuSeconds) && Set(Data, DataBytes() + MoreBytes);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or DllNotFoundException or EntryPointNotFoundException)
        {
            return false;
        }
    }

    /// <summary>setrlimit(2), RLIMIT_DATA: since Linux 4.7 every private writable mapping counts, which proc(5) tells as VmData.</summary>
    private static long DataBytes() => 1024 * long.Parse(
        File.ReadLines("/proc/self/status").First(line => line.StartsWith("VmData:", StringComparison.Ordinal)).Split(':', StringSplitOptions.TrimEntries)[1].Split(' ')[0], CultureInfo.InvariantCulture);

    private static bool Set(int what, long most)
    {
        var limit = new Limit { Soft = (nuint)most, Hard = (nuint)most };
        return SetLimit(what, ref limit) == 0;
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct Limit
    {
        public nuint Soft;
        public nuint Hard;
    }

    [DllImport("libc.so.6", EntryPoint = "setrlimit")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int SetLimit(int what, ref Limit limit);
}
