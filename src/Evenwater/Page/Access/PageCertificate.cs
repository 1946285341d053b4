using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Evenwater.Core.Stations;
using Evenwater.Followers;

namespace Evenwater.Page.Access;

/// <summary>The page's certificate, the chain that is sent with it, and the private key. It is read at the start: a new one takes a restart.</summary>
internal static class PageCertificate
{
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
}
