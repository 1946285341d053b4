using Evenwater.Core.Stations;

namespace Evenwater.Followers;

/// <summary>The key that openings over MQTT are signed with: a file of its own that holds 64 hexadecimal digits, 32 bytes.</summary>
internal static class AskKey
{
    /// <summary>RFC 2104, section 3: no shorter than the hash's output, 32 bytes for SHA-256; more would not make it stronger.</summary>
    public const int Bytes = 32;

    private const string Setting = "mqtt.askKeyFile";
    private const string Advice = "Make one with: (umask 077; openssl rand -hex 32 > FILE), readable by the service's user alone.";

    /// <summary>The key, or what is wrong with its file. The key itself is never told.</summary>
    public static (byte[]? Key, Problem? Problem) Read(string file)
    {
        var (text, closed) = Secret.ReadClosed(Setting, file, $"a file of {2 * Bytes} hexadecimal digits", Advice);
        return text is null ? (null, closed)
            : text.Length == 2 * Bytes && text.All(char.IsAsciiHexDigit)
            ? (Convert.FromHexString(text), null)
            : (null, new Problem(Setting, $"a file of {text.Length} characters, not all of them hexadecimal digits or not so many", $"{2 * Bytes} hexadecimal digits", Advice));
    }
}
