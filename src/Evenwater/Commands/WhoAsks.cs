namespace Evenwater.Commands;

/// <summary>
/// Whose name a record gets that was given none. The installed program runs as the service's user, by sudo, and the book would name that one for everybody; sudo tells who it was that
/// called it ("SUDO_USER", sudo(8), section "ENVIRONMENT").
/// </summary>
internal static class WhoAsks
{
    public static string Name => Named(Environment.GetEnvironmentVariable("SUDO_USER"));

    internal static string Named(string? caller) => caller is { Length: > 0 } ? caller : Environment.UserName;
}
