using System.Net;
using System.Security.Cryptography.X509Certificates;
using Evenwater.Options;

namespace Evenwater.Page.Access;

/// <summary>Where the page answers and whom it lets in: the key "page", with its files read.</summary>
internal sealed record PageDoor
{
    /// <summary>What it listens at.</summary>
    public IReadOnlyList<IPAddress> Addresses { get; init; } = [IPAddress.Loopback];

    public int Port { get; init; } = new PageOptions().Port;

    /// <summary>The names it may be called by; at the loopback its own names as well.</summary>
    public IReadOnlyList<string> Hosts { get; init; } = [];

    /// <summary>Null: nobody is asked for one, which is for the loopback alone.</summary>
    public PasswordHash? Password { get; init; }

    /// <summary>Null: /metrics is read by who is signed in alone.</summary>
    public string? MetricsToken { get; init; }

    /// <summary>With its private key; null: the page is not encrypted.</summary>
    public X509Certificate2? Certificate { get; init; }

    /// <summary>What is sent with the certificate.</summary>
    public X509Certificate2Collection Chain { get; init; } = [];

    /// <summary>An address to write into a browser.</summary>
    public string Address => $"{(Certificate is null ? "http" : "https")}://{(Hosts.Count > 0 ? Hosts[0] : Shown(Addresses[0]))}:{Port}";

    /// <summary>Of a configuration in which nothing is wrong.</summary>
    /// <exception cref="IOException">A file has changed since it was looked at.</exception>
    public static PageDoor Of(PageOptions page)
    {
        if (PageRules.Check(page, serving: true).Select(p => p.ToString()).FirstOrDefault() is { } problem)
        {
            throw new IOException(problem);
        }

        var (certificate, chain, _) = page is { CertificateFile: { } file, KeyFile: { } key } ? PageCertificate.Read(Places.Secret(file), Places.Secret(key)) : (null, [], null);
        return new PageDoor
        {
            Addresses = [.. page.Listen.Select(PageRules.Address).OfType<IPAddress>()],
            Port = page.Port,
            Hosts = page.Hosts,
            Password = page.PasswordFile is { } password ? PasswordFile.Read(Places.Secret(password)).Hash : null,
            MetricsToken = page.MetricsTokenFile is { } token ? Access.MetricsToken.Read(Places.Secret(token)).Token : null,
            Certificate = certificate,
            Chain = chain,
        };
    }

    /// <summary>Why browsers would not come in, or soon will not.</summary>
    public IEnumerable<string> Doubts(DateTimeOffset now) => Certificate is null ? [] : PageCertificate.Doubts(Certificate, Hosts, now);

    private static string Shown(IPAddress address) => address.ToString() is var text && text.Contains(':', StringComparison.Ordinal) ? $"[{text}]" : text;
}
