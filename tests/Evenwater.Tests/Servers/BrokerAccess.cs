using System.Diagnostics;
using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace Evenwater.Tests.Servers;

/// <summary>
/// What a broker needs that lets in only whom it knows: a certificate of its own authority, users and what each may do. "river" is the daemon's user,
/// and may write only below its own station; "phone" may read and ask.
/// </summary>
internal sealed class BrokerAccess : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-secrets-");

    /// <param name="address">The broker's address, which its certificate names.</param>
    public BrokerAccess(string address = "127.0.0.1")
    {
        WriteCertificates(IPAddress.Parse(address));
        File.WriteAllText(this["right"], "tap water\n");
        File.WriteAllText(this["wrong"], "rain water\n");
        User("-c", "river");
        User(null, "phone");
        File.WriteAllText(
            this["acl"],
            """
            user river
            topic write evenwater/v1/sim-river/#
            topic read evenwater/v1/sim-river/ask/#
            user phone
            topic read evenwater/v1/#
            topic write evenwater/v1/+/ask/+

            """);
    }

    /// <summary>The lines of the broker's configuration.</summary>
    public string Lines =>
        $"""
        allow_anonymous false
        password_file {this["users"]}
        acl_file {this["acl"]}
        cafile {this["ca.pem"]}
        certfile {this["server.pem"]}
        keyfile {this["server.key"]}
        """;

    /// <summary>The path of one of its files.</summary>
    public string this[string name] => Path.Combine(_folder.FullName, name);

    public void Dispose() => _folder.Delete(recursive: true);

    private void User(string? create, string name)
    {
        string[] arguments = [.. create is null ? Array.Empty<string>() : [create], "-b", this["users"], name, "tap water"];
        using var tool = Process.Start(ServerProcess.Find("mosquitto_passwd", "mosquitto"), arguments);
        tool.WaitForExit();
        Assert.Equal(0, tool.ExitCode);
    }

    private void WriteCertificates(IPAddress address)
    {
        using var authority = Authority("Test authority");
        using var other = Authority("Other authority");
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=localhost", key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddIpAddress(address);
        request.CertificateExtensions.Add(names.Build());
        using var server = request.Create(authority, authority.NotBefore, authority.NotAfter, [1, 2, 3, 4]);
        File.WriteAllText(this["ca.pem"], authority.ExportCertificatePem());
        File.WriteAllText(this["other-ca.pem"], other.ExportCertificatePem());
        File.WriteAllText(this["server.pem"], server.ExportCertificatePem());
        File.WriteAllText(this["server.key"], key.ExportPkcs8PrivateKeyPem());
    }

    private static X509Certificate2 Authority(string name)
    {
        var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest($"CN={name}", key, HashAlgorithmName.SHA256);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        var now = TimeProvider.System.GetUtcNow();
        return request.CreateSelfSigned(now.AddDays(-1), now.AddDays(1));
    }
}
