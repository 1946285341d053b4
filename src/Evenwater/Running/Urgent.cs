using System.Runtime.InteropServices;

namespace Evenwater.Running;

/// <summary>
/// Lets the calling thread go before others. .NET's own thread priorities do nothing on Linux; the niceness of a single thread does (setpriority(2), "C library/kernel
/// differences": it is an attribute of each thread). It takes the right to it: root, CAP_SYS_NICE, or LimitNICE= of the service's unit. Without it all is as before.
/// </summary>
internal static class Urgent
{
    /// <summary>Of -20 (first) to 19. A thread at -10 weighs about nine of the usual (sched_prio_to_weight of the kernel: 9548 to 1024): enough to be woken in time, and the two that have it do little.</summary>
    public const int Niceness = -10;

    private const int OneThread = 0; // PRIO_PROCESS; with who = 0 it is the calling thread

    /// <summary>The least: weighs a sixty-eighth of the usual (15 to 1024), so that long arithmetic holds nobody up. It can not be taken back without the right to it.</summary>
    private const int Last = 19;

    /// <summary>Asks for it.</summary>
    /// <returns>Whether it was granted.</returns>
    public static bool Ask() => Ask(Niceness);

    /// <summary>Lets all others go before the calling thread, which must be one that ends soon.</summary>
    public static bool GoLast() => Ask(Last);

    private static bool Ask(int niceness)
    {
        try
        {
            return SetPriority(OneThread, 0, niceness) == 0;
        }
        catch (Exception e) when (e is DllNotFoundException or EntryPointNotFoundException)
        {
            return false;
        }
    }

    [DllImport("libc.so.6", EntryPoint = "setpriority")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int SetPriority(int which, uint who, int niceness);
}
