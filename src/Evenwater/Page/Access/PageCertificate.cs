using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Evenwater.Core.Stations;
using Evenwater.Followers;

namespace Evenwater.Page.Access;

/// <summary>The page's certificate, the chain that is sent with it, and the private key. It is read at the start: a new one takes a restart.</summary>
internal static class PageCertificate
{
    /// <summary>So long before its end it is to be renewed: long enough to find the time. Common practice, no source.</summary>
    private static readonly TimeSpan Renewal = TimeSpan.FromDays(14);

    /// <summary>The certificate with its key and the chain, or what is wrong.</summary>
    public static (X509Certificate2? Certificate, X509Certificate2Collection Chain, Problem? Problem) Read(string certificateFile, string keyFile)
    {
        const string Key = "the certificate's private key, PEM without a passphrase";
        const string Advice = "Give both as PEM files; `openssl x509 -in FILE -noout -subject -dates` shows a certificate.";
        var chain = new X509Certificate2Collection();
        if (Secret.ReadClosed("page.keyFile", keyFile, Key, "Give the certificate's key, readable by the service's user alone.").Problem is { } closed)
        {
            return (null, chain, closed);
        }

        try
        {
            var certificate = X509Certificate2.CreateFromPemFile(certificateFile, keyFile);
            chain.ImportFromPemFile(certificateFile);
            return (certificate, chain, null);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or CryptographicException or ArgumentException)
        {
            return (null, chain, new Problem("page.certificateFile", $"{certificateFile} with {keyFile}, which can not be used ({e.Message.ReplaceLineEndings(" ")})", $"a PEM certificate and {Key}", Advice));
        }
    }

    /// <summary>Why browsers would not come in by it, or soon will not; nothing when they will.</summary>
    /// <param name="certificate">The certificate.</param>
    /// <param name="hosts">What browsers call the page.</param>
    /// <param name="now">Now.</param>
    public static IEnumerable<string> Doubts(X509Certificate2 certificate, IReadOnlyList<string> hosts, DateTimeOffset now)
    {
        var (from, to) = (new DateTimeOffset(certificate.NotBefore), new DateTimeOffset(certificate.NotAfter));
        if (now < from)
        {
            yield return FormattableString.Invariant($"it counts from {from.UtcDateTime:yyyy-MM-dd HH:mm} UTC on, and by this clock it is {now.UtcDateTime:yyyy-MM-dd HH:mm}: browsers warn or refuse. Set the clock, or make the certificate anew.");
        }
        else if (to < now + Renewal)
        {
            yield return FormattableString.Invariant($"it {(to < now ? "ended" : "ends")} on {to.UtcDateTime:yyyy-MM-dd HH:mm} UTC: browsers {(to < now ? "" : "then ")}warn or refuse. Put a renewed one in its place, and start the daemon anew while no run is on.");
        }

        foreach (var host in hosts.Where(host => !certificate.MatchesHostname(host, allowCommonName: false)))
        {
            yield return $"it is not for {host}, which page.hosts names (only its subjectAltName counts): browsers warn or refuse. Make one that names it, or take it out of page.hosts.";
        }
    }
}
