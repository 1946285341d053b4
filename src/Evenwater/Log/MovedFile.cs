using System.Runtime.InteropServices;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>Whether the log's file was moved, deleted or replaced under those who write to it: what they write then goes where no later start finds it.</summary>
internal static class MovedFile
{
    /// <summary>SQLITE_FCNTL_HAS_MOVED (sqlite.org, "Standard File Control Opcodes").</summary>
    private const int HasMoved = 20;

    private static readonly byte[] Main = [.. "main\0"u8];

    /// <summary>Refuses to write to it; once it is back it is written to again.</summary>
    /// <exception cref="LogUnusableException">It is not where it was opened.</exception>
    public static void Refuse(SqliteConnection connection)
    {
        if (FileControl(connection.Handle!, Main, HasMoved, out var moved) == SQLitePCL.raw.SQLITE_OK && moved != 0)
        {
            throw new LogUnusableException($"the log {connection.DataSource} was moved, deleted or replaced while the program runs; put the very same file back, or start the program anew: it then goes by what is there");
        }
    }

    [DllImport("e_sqlite3", EntryPoint = "sqlite3_file_control")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int FileControl(SafeHandle database, byte[] name, int operation, out int moved);
}
