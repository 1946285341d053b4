using System.Buffers;
using System.Security.Cryptography.X509Certificates;
using MQTTnet;
using MQTTnet.Formatter;

namespace Evenwater.Followers;

/// <summary>Where and how to tell over MQTT.</summary>
internal sealed record MqttOptions
{
    public string Host { get; init; } = "127.0.0.1";

    public int Port { get; init; } = EmbeddedBroker.DefaultPort;

    public string? User { get; init; }

    public string? PasswordFile { get; init; }

    /// <summary>Certificates to trust, PEM; when given, the connection is encrypted and only these are trusted.</summary>
    public string? CaFile { get; init; }

    /// <summary>The file of the key that openings and resets over MQTT are signed with; null: there are none.</summary>
    public string? AskKeyFile { get; init; }

    /// <summary>How long a publication may stay without its acknowledgement before the connection counts as dead, s.</summary>
    public double AckSeconds { get; init; } = 10;

    /// <summary>How long the broker waits before it says that we are offline, s. Less than the session expiry, or that ends the wait.</summary>
    public uint WillDelaySeconds { get; init; } = 60;

    /// <summary>How long the broker keeps our session, s.</summary>
    public uint SessionExpirySeconds { get; init; } = 86400;

    /// <summary>So often it says that it is there, whatever else it says, s: who watches from elsewhere need not hear the readings. Half of the shortest silence that a watcher may be set to.</summary>
    public double ThereSeconds { get; init; } = 60;

    /// <summary>Wait after the first failure, s; doubles with each one more.</summary>
    public double RetrySeconds { get; init; } = 1;

    /// <summary>Longest wait, s.</summary>
    public double LongestRetrySeconds { get; init; } = 30;

    /// <summary>The client's options, with the will.</summary>
    /// <param name="clientId">Who we are; our session is kept under it.</param>
    /// <param name="will">What the broker is to say when we are gone without a word.</param>
    public MqttClientOptions Build(string clientId, MqttApplicationMessage will)
    {
        if (SessionExpirySeconds <= WillDelaySeconds)
        {
            throw new InvalidOperationException(
                $"mqtt.sessionExpirySeconds is {SessionExpirySeconds}; it must be more than mqtt.willDelaySeconds, {WillDelaySeconds}");
        }

        var builder = Connection(clientId)
            .WithCleanStart(false)
            .WithSessionExpiryInterval(SessionExpirySeconds)
            .WithWillTopic(will.Topic)
            .WithWillPayload(will.Payload.ToArray())
            .WithWillContentType(will.ContentType)
            .WithWillPayloadFormatIndicator(will.PayloadFormatIndicator)
            .WithWillQualityOfServiceLevel(will.QualityOfServiceLevel)
            .WithWillRetain(will.Retain)
            .WithWillDelayInterval(WillDelaySeconds);
        foreach (var property in will.UserProperties ?? [])
        {
            builder.WithWillUserProperty(property.Name, property.ValueBuffer);
        }

        return builder.Build();
    }

    /// <summary>The options of a client that only listens now and tells now: no will, and nothing is kept for it.</summary>
    public MqttClientOptions BuildListener(string clientId) => Connection(clientId).WithCleanStart().Build();

    private MqttClientOptionsBuilder Connection(string clientId)
    {
        var builder = new MqttClientOptionsBuilder()
            .WithProtocolVersion(MqttProtocolVersion.V500)
            .WithTcpServer(Host, Port)
            .WithClientId(clientId)
            .WithKeepAlivePeriod(TimeSpan.FromSeconds(30))
            .WithTimeout(TimeSpan.FromSeconds(AckSeconds))
            .WithMaximumPacketSize(AskDesk.MaxPacketBytes);
        if (User is not null)
        {
            builder.WithCredentials(User, Secret.Read(PasswordFile));
        }

        if (CaFile is not null)
        {
            var trusted = new X509Certificate2Collection();
            trusted.ImportFromPemFile(CaFile);
            builder.WithTlsOptions(tls => tls.UseTls().WithTargetHost(Host).WithTrustChain(trusted).WithRevocationMode(X509RevocationMode.NoCheck));
        }

        return builder;
    }
}
