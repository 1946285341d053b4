using System.Diagnostics;
using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Followers;

/// <summary>Against a real mosquitto that wants TLS, a user and a password.</summary>
public sealed class MqttAccessTests : IDisposable
{
    private readonly DirectoryInfo _secrets = Directory.CreateTempSubdirectory("evenwater-secrets-");
    private readonly LogFolder _folder = new();
    private readonly NightLog _log;
    private readonly Mosquitto _broker;

    public MqttAccessTests()
    {
        _log = _folder.Open();
        new Night(_log).Add(EntryKind.Event, new EventBody("test", "x"));
        WriteCertificates();
        File.WriteAllText(Secret("right"), "tap water\n");
        File.WriteAllText(Secret("wrong"), "rain water\n");
        using (var tool = Process.Start(ServerProcess.Find("mosquitto_passwd", "mosquitto"), ["-b", "-c", Secret("users"), "river", "tap water"]))
        {
            tool.WaitForExit();
        }

        _broker = new Mosquitto(
            $"""
            allow_anonymous false
            password_file {Secret("users")}
            cafile {Secret("ca.pem")}
            certfile {Secret("server.pem")}
            keyfile {Secret("server.key")}
            """);
    }

    public void Dispose()
    {
        _broker.Dispose();
        _log.Dispose();
        _folder.Dispose();
        _secrets.Delete(recursive: true);
    }

    [Fact]
    public async Task Only_the_right_broker_is_told_and_only_with_the_right_password()
    {
        await _broker.StartAsync();
        Assert.Null(await FaultAsync("ca.pem", "right"));
        Assert.Equal(1, _log.Cursor("mqtt/sim-river"));
        Assert.Contains("NotAuthorized", await FaultAsync("ca.pem", "wrong"), StringComparison.Ordinal);
        Assert.NotNull(await FaultAsync("other-ca.pem", "right"));
    }

    /// <summary>Why it can not tell; null when it can.</summary>
    private async Task<string?> FaultAsync(string authority, string password)
    {
        using var stop = new CancellationTokenSource();
        var options = new MqttOptions { Port = _broker.Port, User = "river", PasswordFile = Secret(password), CaFile = Secret(authority), RetrySeconds = 0.1 };
        var follower = new MqttFollower(_log, "sim-river", 1, options, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _ => { }, NullLogger.Instance);
        var before = follower.Fault;
        var following = follower.RunAsync(stop.Token);
        for (var i = 0; i < 1500 && follower.Fault == before; i++)
        {
            await Task.Delay(20, CancellationToken.None);
        }

        for (var i = 0; i < 1500 && follower.Fault is null && follower.Behind > 0; i++)
        {
            await Task.Delay(20, CancellationToken.None);
        }

        var fault = follower.Fault;
        await stop.CancelAsync();
        await following;
        return fault;
    }

    private string Secret(string name) => Path.Combine(_secrets.FullName, name);

    private void WriteCertificates()
    {
        using var authority = Authority("Test authority");
        using var other = Authority("Other authority");
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var request = new CertificateRequest("CN=localhost", key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddIpAddress(IPAddress.Loopback);
        request.CertificateExtensions.Add(names.Build());
        using var server = request.Create(authority, authority.NotBefore, authority.NotAfter, [1, 2, 3, 4]);
        File.WriteAllText(Secret("ca.pem"), authority.ExportCertificatePem());
        File.WriteAllText(Secret("other-ca.pem"), other.ExportCertificatePem());
        File.WriteAllText(Secret("server.pem"), server.ExportCertificatePem());
        File.WriteAllText(Secret("server.key"), key.ExportPkcs8PrivateKeyPem());
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
