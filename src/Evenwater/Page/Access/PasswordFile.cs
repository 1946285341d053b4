using Evenwater.Core.Stations;
using Evenwater.Followers;

namespace Evenwater.Page.Access;

/// <summary>The file of page.passwordFile: one line, the hash.</summary>
internal static class PasswordFile
{
    private const string Setting = "page.passwordFile";
    private const string Advice = "Make one with: evenwater password --out FILE, readable by the service's user alone.";
    private const string Allowed = "a file with the one line that `evenwater password` writes";

    /// <summary>The hash, or what is wrong with its file, whose content is never told.</summary>
    public static (PasswordHash? Hash, Problem? Problem) Read(string file)
    {
        var (text, closed) = Secret.ReadClosed(Setting, file, Allowed, Advice);
        return text is null ? (null, closed)
            : PasswordHash.Parse(text) is { } hash ? (hash, null)
            : (null, new Problem(Setting, $"{file}, which holds no hash of a password", $"{Allowed}; never the password itself", Advice));
    }

    /// <summary>Writes it in one move, closed to others.</summary>
    public static void Write(string file, PasswordHash hash)
    {
        var beside = $"{file}.new";
        File.Delete(beside);
        using (var stream = new FileStream(beside, new FileStreamOptions
        {
            Mode = FileMode.CreateNew, Access = FileAccess.Write, UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
        }))
        {
            stream.Write(System.Text.Encoding.ASCII.GetBytes($"{hash}\n"));
            stream.Flush(flushToDisk: true);
        }

        File.Move(beside, file, overwrite: true);
    }
}
