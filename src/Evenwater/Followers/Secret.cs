namespace Evenwater.Followers;

/// <summary>Secrets come from files only: a configuration is copied, shown and logged.</summary>
internal static class Secret
{
    /// <summary>The file's text without the line end; null when no file is named.</summary>
    public static string? Read(string? file) => file is null ? null : File.ReadAllText(file).TrimEnd('\r', '\n');
}
