using Evenwater.Core.Stations;

namespace Evenwater.Followers;

/// <summary>The key that openings over MQTT are signed with: a file of its own that holds 64 hexadecimal digits, 32 bytes.</summary>
internal static class AskKey
{
    /// <summary>RFC 2104, section 3: no shorter than the hash's output, 32 bytes for SHA-256; more would not make it stronger.</summary>
    public const int Bytes = 32;

    private const string Setting = "mqtt.askKeyFile";
    private const string Advice = "Make one with: (umask 077; openssl rand -hex 32 > FILE), readable by the service's user alone.";
    private const UnixFileMode Others = UnixFileMode.OtherRead | UnixFileMode.OtherWrite;

    /// <summary>The key, or what is wrong with its file. The key itself is never told.</summary>
    public static (byte[]? Key, Problem? Problem) Read(string file)
    {
        string text;
        try
        {
            if ((File.GetUnixFileMode(file) & Others) != 0)
            {
                return (null, new Problem(Setting, $"{file}, which everybody may read or write", "a file closed to others, such as mode 0600", $"chmod 600 {file}, and make a new key if others were here."));
            }

            text = File.ReadAllText(file).TrimEnd('\r', '\n');
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return (null, new Problem(Setting, $"{file}, which cannot be read ({e.Message})", $"a file of {2 * Bytes} hexadecimal digits", Advice));
        }

        return text.Length == 2 * Bytes && text.All(char.IsAsciiHexDigit)
            ? (Convert.FromHexString(text), null)
            : (null, new Problem(Setting, $"a file of {text.Length} characters, not all of them hexadecimal digits or not so many", $"{2 * Bytes} hexadecimal digits", Advice));
    }
}
