using System.Net;
using System.Text.RegularExpressions;
using Evenwater.Core.Stations;
using Evenwater.Page.Access;

namespace Evenwater.Options;

/// <summary>What must hold of the key "page". Beyond this computer there is no page without a password and a list of hosts.</summary>
internal static partial class PageRules
{
    /// <summary>RFC 1035, section 2.3.4, less its two end marks: the longest name.</summary>
    private const int LongestHost = 253;

    private const int MostListen = 8;
    private const int MostHosts = 16;

    /// <summary>Every problem.</summary>
    /// <param name="page">What the file says.</param>
    /// <param name="serving">Whether this is the service, which alone can read credentials.</param>
    public static IEnumerable<Problem> Check(PageOptions page, bool serving)
    {
        if (page.Port is < 1 or > 65535)
        {
            yield return new Problem("page.port", $"{page.Port}", "1 to 65535", "Choose a free port.");
        }

        if (page.Listen.Count is 0 or > MostListen)
        {
            yield return new Problem("page.listen", $"{page.Listen.Count} addresses", $"1 to {MostListen} addresses", "Take the key out for this computer alone; say \"page\": null for no page.");
        }

        foreach (var (address, index) in page.Listen.Select((a, i) => (a, i)).Where(a => Address(a.a) is null))
        {
            yield return new Problem($"page.listen[{index}]", Told(address), "an address by number, such as \"192.168.1.20\", \"0.0.0.0\" for all of IPv4 or \"::\" for all", "Write the computer's own address (`ip address` shows it), without a port.");
        }

        foreach (var index in Enumerable.Range(0, page.Listen.Count))
        {
            // The system would say no more than that the port is taken.
            if (page.Listen.Take(index).FirstOrDefault(earlier => Clash(earlier, page.Listen[index])) is { } taken)
            {
                yield return new Problem($"page.listen[{index}]", Told(page.Listen[index]), $"an address beside {Told(taken)}: each once, \"0.0.0.0\" beside none of IPv4, \"::\" alone", "Keep the one that reaches as far as you want.");
            }
        }

        if (page.Hosts.Count > MostHosts)
        {
            yield return new Problem("page.hosts", $"{page.Hosts.Count} names", $"0 to {MostHosts} names", "Keep those that browsers really use.");
        }

        foreach (var (host, index) in page.Hosts.Select((h, i) => (h, i)).Where(h => !IsHost(h.h)))
        {
            yield return new Problem(
                $"page.hosts[{index}]", Told(host), "a name such as \"pail.home.arpa\", or an address such as \"192.168.1.20\" or \"[fd00::20]\"; never *, 0.0.0.0 or [::]",
                "Write what stands in the browser's address line, without http:// and without the port.");
        }

        foreach (var problem in Beyond(page).Concat(Files(page, serving)))
        {
            yield return problem;
        }
    }

    /// <summary>An address that is written by number; null for anything else.</summary>
    public static IPAddress? Address(string? text) =>
        IPAddress.TryParse(text, out var address) && text[0] != '[' && (text.Contains(':', StringComparison.Ordinal) || address.ToString() == text) ? address : null;

    /// <summary>Whether one of both is among what the other stands for, so that they can not be listened to side by side.</summary>
    private static bool Clash(string? one, string? other)
    {
        if (Address(one) is not { } first || Address(other) is not { } second)
        {
            return false;
        }

        (first, second) = (Plain(first), Plain(second));
        return first.Equals(second) || first.Equals(IPAddress.IPv6Any) || second.Equals(IPAddress.IPv6Any)
            || (first.AddressFamily == second.AddressFamily && (first.Equals(IPAddress.Any) || second.Equals(IPAddress.Any)));

        static IPAddress Plain(IPAddress address) => address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;
    }

    /// <summary>Whether any of them is reached from other computers.</summary>
    public static bool IsBeyond(PageOptions page) => page.Listen.Any(a => Address(a) is { } address && !IPAddress.IsLoopback(address));

    private static IEnumerable<Problem> Beyond(PageOptions page)
    {
        if (!IsBeyond(page))
        {
            yield break;
        }

        var beyond = string.Join(", ", page.Listen);
        if (page.PasswordFile is null)
        {
            yield return new Problem(
                "page.passwordFile", "null", $"a file with a password's hash when page.listen ({beyond}) reaches beyond this computer",
                "Make one with `evenwater password --out FILE`, or take page.listen out.");
        }

        if (page.Hosts.Count == 0)
        {
            yield return new Problem(
                "page.hosts", "empty", $"1 to {MostHosts} names when page.listen ({beyond}) reaches beyond this computer",
                "List the names and addresses by which browsers call this page, or take page.listen out.");
        }
    }

    private static IEnumerable<Problem> Files(PageOptions page, bool serving)
    {
        if (page is { MetricsTokenFile: not null, PasswordFile: null })
        {
            yield return new Problem("page.metricsTokenFile", Told(page.MetricsTokenFile), "nothing without page.passwordFile", "Without a password nobody is asked for a token: take it out.");
        }

        if (page.CertificateFile is null != page.KeyFile is null)
        {
            var missing = page.KeyFile is null ? "page.keyFile" : "page.certificateFile";
            yield return new Problem(missing, "null", "a PEM file; certificate and key come together", "Give both, or neither.");
        }

        if (page.PasswordFile is { } password && CanBeRead(password, serving) && PasswordFile.Read(Places.Secret(password)).Problem is { } badPassword)
        {
            yield return badPassword;
        }

        if (page.MetricsTokenFile is { } token && CanBeRead(token, serving) && MetricsToken.Read(Places.Secret(token)).Problem is { } badToken)
        {
            yield return badToken;
        }

        if (page is { CertificateFile: { } certificate, KeyFile: { } key } && CanBeRead(certificate, serving) && CanBeRead(key, serving)
            && PageCertificate.Read(Places.Secret(certificate), Places.Secret(key)).Problem is { } badCertificate)
        {
            yield return badCertificate;
        }
    }

    private static bool CanBeRead(string file, bool serving) => serving || Places.Credential(file) is null;

    // RFC 3986, section 3.2.2: a name, an IPv4 address, or an IPv6 address in brackets.
    private static bool IsHost(string? host) => host is { Length: > 0 and <= LongestHost }
        && (host is ['[', .. var inner, ']'] ? IPAddress.TryParse(inner, out var address) && !IPAddress.IPv6Any.Equals(address) : Name().IsMatch(host) && host != "0.0.0.0");

    private static string Told(string? text) => text is null ? "null" : $"\"{text}\"";

    [GeneratedRegex(@"^[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?(\.[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?)*$")]
    private static partial Regex Name();
}
