using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;
using Evenwater.Core.Stations;
using Evenwater.Followers;

namespace Evenwater.Page.Access;

/// <summary>The token of page.metricsTokenFile: who sends it as "Authorization: Bearer" may read /metrics and nothing else.</summary>
internal static partial class MetricsToken
{
    private const string Setting = "page.metricsTokenFile";
    private const string Allowed = "a file with one line of 32 to 256 letters, digits and - . _ ~ + / =";
    private const string Advice = "Make one with: (umask 077; openssl rand -hex 32 > FILE), readable by the service's user alone.";
    private const string Scheme = "Bearer ";

    /// <summary>The token, or what is wrong with its file, whose content is never told.</summary>
    public static (string? Token, Problem? Problem) Read(string file)
    {
        var (text, closed) = Secret.ReadClosed(Setting, file, Allowed, Advice);
        return text is null ? (null, closed)
            : Form().IsMatch(text) ? (text, null)
            : (null, new Problem(Setting, $"{file}, which holds no such line", Allowed, Advice));
    }

    /// <summary>Whether a header is this token's, compared in a time that tells nothing.</summary>
    public static bool IsIn(string authorisation, string token) =>
        authorisation.StartsWith(Scheme, StringComparison.OrdinalIgnoreCase)
        && CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(authorisation[Scheme.Length..]), Encoding.UTF8.GetBytes(token));

    // RFC 6750, section 2.1, b64token; as long as a guess must be.
    [GeneratedRegex("^[A-Za-z0-9._~+/=-]{32,256}$")]
    private static partial Regex Form();
}
