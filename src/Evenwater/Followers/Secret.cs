using Evenwater.Core.Stations;

namespace Evenwater.Followers;

/// <summary>Secrets come from files only: a configuration is copied, shown and logged.</summary>
internal static class Secret
{
    private const UnixFileMode Others = UnixFileMode.OtherRead | UnixFileMode.OtherWrite;

    /// <summary>The file's text without the line end; null when no file is named.</summary>
    public static string? Read(string? file) => file is null ? null : File.ReadAllText(file).TrimEnd('\r', '\n');

    /// <summary>The text of a file that is closed to others, or what is wrong with it. The text is never told.</summary>
    /// <param name="setting">The configuration's key that names the file.</param>
    /// <param name="file">The file.</param>
    /// <param name="allowed">What belongs into it.</param>
    /// <param name="advice">How it is made.</param>
    public static (string? Text, Problem? Problem) ReadClosed(string setting, string file, string allowed, string advice)
    {
        try
        {
            return (File.GetUnixFileMode(file) & Others) == 0
                ? (Read(file), null)
                : (null, new Problem(setting, $"{file}, which everybody may read or write", "a file closed to others, such as mode 0600", $"chmod 600 {file}, and make a new one if others were here."));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return (null, new Problem(setting, $"{file}, which cannot be read ({e.Message})", allowed, advice));
        }
    }
}
