namespace Evenwater.Options;

/// <summary>Where things are.</summary>
internal static class Places
{
    public const string DefaultConfiguration = "/etc/evenwater/evenwater.json";

    /// <summary>unix(7): sun_path holds 108 bytes, the closing zero included.</summary>
    private const int LongestSocketPath = 107;

    private const UnixFileMode OwnerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute;

    /// <summary>The configuration: as given, else $EVENWATER_CONFIG, else the default when it exists; null when there is none.</summary>
    public static string? Configuration(string? given) =>
        given ?? Variable("EVENWATER_CONFIG") ?? (File.Exists(DefaultConfiguration) ? DefaultConfiguration : null);

    /// <summary>
    /// Whether the demo may start: only without any configuration and not under systemd, so that a lost file never
    /// becomes a simulated station that reports ready.
    /// </summary>
    public static bool DemoMayStart => Variable("NOTIFY_SOCKET") is null && Variable("INVOCATION_ID") is null;

    /// <summary>The state folder, made if missing, for the owner only.</summary>
    /// <exception cref="IOException">It can not be made or used; the message names it and says what to do.</exception>
    public static string MakeState(bool demo)
    {
        var folder = State(demo);
        if (System.Text.Encoding.UTF8.GetByteCount(Socket(folder)) > LongestSocketPath)
        {
            throw new IOException($"The state folder {folder} can not be used: its path is too long for a socket. Set $STATE_DIRECTORY to one of at most {LongestSocketPath - 13} bytes.");
        }

        try
        {
            Directory.CreateDirectory(State(demo: false), OwnerOnly); // first: the folders on the way to another are made for everybody
            Directory.CreateDirectory(folder, OwnerOnly);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new IOException($"The state folder {folder} can not be made: {e.Message} Set $STATE_DIRECTORY to a folder that this user may write to.", e);
        }

        return folder;
    }

    /// <summary>The state folder: $STATE_DIRECTORY, else $XDG_STATE_HOME/evenwater, else ~/.local/state/evenwater; the demo has its own in it.</summary>
    public static string State(bool demo)
    {
        var folder = Variable("STATE_DIRECTORY")
            ?? Path.Combine(
                Variable("XDG_STATE_HOME") ?? InHome(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile)),
                "evenwater");
        return demo ? Path.Combine(folder, "demo") : folder;
    }

    /// <summary>Below the home folder; of a user who has none below the root, where he may write nothing: below wherever he stands, each folder would have a log of its own.</summary>
    internal static string InHome(string home) => Path.Combine("/", home, ".local", "state");

    /// <summary>The daemon's socket in a state folder.</summary>
    public static string Socket(string state) => Path.Combine(state, "control.sock");

    /// <summary>A secret's file: relative names are looked up in the credentials folder.</summary>
    public static string Secret(string file) =>
        Path.IsPathRooted(file) || Variable("CREDENTIALS_DIRECTORY") is not { } folder ? file : Path.Combine(folder, file);

    /// <summary>A secret that only the service can see, by its name; null for one with a path of its own, or inside the service.</summary>
    public static string? Credential(string? file) => file is not null && !Path.IsPathRooted(file) && Secret(file) == file ? file : null;

    /// <summary>A variable of the environment; null where it is empty too.</summary>
    internal static string? Variable(string name) => Environment.GetEnvironmentVariable(name) is { Length: > 0 } value ? value : null;
}
