using System.Buffers.Binary;
using System.Runtime.InteropServices;
using System.Text;

namespace Evenwater.Commands;

/// <summary>Whether two paths lead to one file, by whatever links or mounts: its number and its file system's say so, the names do not.</summary>
internal static class SameFile
{
    // linux/fcntl.h and linux/stat.h; places in struct statx by statx(2), the same on every processor.
    private const int FromHere = -100;
    private const uint AskType = 0x1;
    private const uint AskInode = 0x100;
    private const int Mode = 0x1C;
    private const int TypeBits = 0xF000;
    private const int Regular = 0x8000;
    private const int Inode = 0x20;
    private const int Device = 0x88;
    private const int Size = 0x100;

    /// <summary>False as well when one of them is not there.</summary>
    public static bool Are(string one, string other) =>
        Path.GetFullPath(one) == Path.GetFullPath(other) || (OperatingSystem.IsLinux() && Identity(one) is { } identity && identity == Identity(other));

    /// <summary>Whether a path leads to a device, a pipe or the like, which is written to and never put another file in the place of.</summary>
    public static bool IsDevice(string path)
    {
        var told = new byte[Size];
        return OperatingSystem.IsLinux() && Look(FromHere, Encoding.UTF8.GetBytes($"{path}\0"), 0, AskType, told) == 0
            && (BinaryPrimitives.ReadUInt16LittleEndian(told.AsSpan(Mode)) & TypeBits) != Regular;
    }

    private static (ulong Inode, ulong Device)? Identity(string path)
    {
        var told = new byte[Size];
        return Look(FromHere, Encoding.UTF8.GetBytes($"{path}\0"), 0, AskInode, told) == 0
            ? (BinaryPrimitives.ReadUInt64LittleEndian(told.AsSpan(Inode)), BinaryPrimitives.ReadUInt64LittleEndian(told.AsSpan(Device)))
            : null;
    }

    [DllImport("libc.so.6", EntryPoint = "statx")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int Look(int folder, byte[] path, int flags, uint mask, byte[] told);
}
