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
    private readonly BrokerAccess _access = new();
    private readonly LogFolder _folder = new();
    private readonly List<EventBody> _told = [];
    private readonly NightLog _log;
    private readonly Mosquitto _broker;

    public MqttAccessTests()
    {
        _log = _folder.Open();
        new Night(_log).Add(EntryKind.Event, new EventBody("test", "x"));
        _broker = new Mosquitto(_access.Lines);
    }

    public void Dispose()
    {
        _broker.Dispose();
        _log.Dispose();
        _folder.Dispose();
        _access.Dispose();
    }

    [Fact]
    public async Task Only_the_right_broker_is_told_and_only_with_the_right_password()
    {
        Assert.Equal("Connection refused", await FaultAsync("ca.pem", "right")); // not "Error while connecting host 'Unspecified/127.0.0.1:8883'."
        await _broker.StartAsync();
        Assert.Null(await FaultAsync("ca.pem", "right"));
        Assert.Equal(1, _log.Cursor("mqtt/sim-river"));
        Assert.Empty(_told);
        Assert.Contains("NotAuthorized", await FaultAsync("ca.pem", "wrong"), StringComparison.Ordinal);
        Assert.Contains("refuses this daemon (the broker refuses us: NotAuthorized)", Assert.Single(_told).Text, StringComparison.Ordinal);
        Assert.Contains("certificate", await FaultAsync("other-ca.pem", "right"), StringComparison.OrdinalIgnoreCase);
    }

    /// <summary>What a check says before the first night, and at once: a port that answers is no broker that lets us in.</summary>
    [Fact]
    public async Task A_check_knocks_as_the_daemon_will_come()
    {
        await _broker.StartAsync();
        var right = new MqttOptions { Port = _broker.Port, User = "river", PasswordFile = _access["right"], CaFile = _access["ca.pem"] };
        Assert.Null(await MqttKnock.FaultAsync(right));
        Assert.Equal("it refuses us: NotAuthorized", await MqttKnock.FaultAsync(right with { PasswordFile = _access["wrong"] }));
        Assert.StartsWith("its certificate is refused: it must name 127.0.0.1 and come from the CA", await MqttKnock.FaultAsync(right with { CaFile = _access["other-ca.pem"] }), StringComparison.Ordinal);
        Assert.Contains("nowhere.pem", await MqttKnock.FaultAsync(right with { CaFile = _access["nowhere.pem"] }), StringComparison.Ordinal);
        Assert.NotNull(await MqttKnock.FaultAsync(right with { CaFile = null }));
    }

    /// <summary>Why it can not tell; null when it can.</summary>
    private async Task<string?> FaultAsync(string authority, string password)
    {
        using var stop = new CancellationTokenSource();
        var options = new MqttOptions { Port = _broker.Port, User = "river", PasswordFile = _access[password], CaFile = _access[authority], RetrySeconds = 0.1 };
        var follower = new MqttFollower(_log, "sim-river", 1, options, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _told.Add, NullLogger.Instance);
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
}
