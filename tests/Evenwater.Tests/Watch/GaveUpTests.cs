using System.Text.Json;
using Evenwater.Commands;
using Evenwater.Core.Alarms;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Watch;

namespace Evenwater.Tests.Watch;

/// <summary>systemd/evenwater-gave-up, and the file that the daemon leaves for it.</summary>
public sealed class GaveUpTests : IDisposable
{
    private readonly FakeTools _tools = new(("mosquitto_pub", "mosquitto_pub"), ("systemctl", "systemctl"));

    public void Dispose() => _tools.Dispose();

    private void Leave(MqttOptions? mqtt) =>
        _tools.Put("broker", string.Concat(LeftBehind.BrokerOf(mqtt, [DemoStation.Read()], _tools.Folder).Select(l => l + "\n")));

    [Fact]
    public async Task The_alarm_is_retained_under_its_topic_and_has_all_that_an_alarm_has()
    {
        Leave(new MqttOptions { Host = "broker.lan", Port = 8883, User = "keeper", PasswordFile = _tools.In("mqtt-password"), CaFile = "/etc/ca.pem" });
        _tools.Put("mqtt-password", "two words");
        var ran = await _tools.RunAsync("evenwater-gave-up", "raise");
        Assert.Equal(0, ran.Exit);
        Assert.Equal("-q 1 -r -t evenwater/v1/sim-river/alarm/gave-up -s\n", _tools.Get("arguments"));
        Assert.Equal("-h broker.lan\n-p 8883\n-u keeper\n-P two words\n--cafile /etc/ca.pem\n", _tools.Get("options"));
        Assert.False(File.Exists(_tools.In("mosquitto_pub")), "the password was left behind");

        using var message = JsonDocument.Parse(_tools.Get("messages"));
        foreach (var key in typeof(AlarmBody).GetConstructors()[0].GetParameters().Select(p => JsonNamingPolicy.CamelCase.ConvertName(p.Name!)).Where(k => k != "byWhen"))
        {
            Assert.True(message.RootElement.TryGetProperty(key, out _), $"{key} is missing");
        }

        Assert.Equal(JsonNamingPolicy.CamelCase.ConvertName(nameof(AlarmStanding.Unacknowledged)), message.RootElement.GetProperty("state").GetString());
        Assert.True(message.RootElement.GetProperty("calls").GetBoolean());
        Assert.True(message.RootElement.GetProperty("simulated").GetBoolean());
        Assert.Contains("<2>The program has given up", ran.Said, StringComparison.Ordinal);
    }

    [Fact]
    public async Task It_is_cleared_once_and_only_when_it_was_raised_and_the_daemon_is_back()
    {
        Leave(new MqttOptions());
        Assert.Equal(0, (await _tools.RunAsync("evenwater-gave-up", "clear")).Exit);
        Assert.Equal("", _tools.Get("messages"));

        await _tools.RunAsync("evenwater-gave-up", "raise");
        _tools.Put("not-back", "");
        await _tools.RunAsync("evenwater-gave-up", "clear");
        Assert.DoesNotContain("normal", _tools.Get("messages"), StringComparison.Ordinal);

        File.Delete(_tools.In("not-back"));
        await _tools.RunAsync("evenwater-gave-up", "clear");
        await _tools.RunAsync("evenwater-gave-up", "clear");
        Assert.Equal(2, _tools.Get("messages").Trim().Split('\n').Length);
        Assert.Contains("\"state\":\"normal\",\"calls\":false", _tools.Get("messages"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_broker_that_is_away_is_an_error_so_that_the_unit_tries_again()
    {
        Leave(new MqttOptions());
        _tools.Put("no-broker", "");
        Assert.Equal(1, (await _tools.RunAsync("evenwater-gave-up", "raise")).Exit);
        File.Delete(_tools.In("no-broker"));
        Assert.Equal(0, (await _tools.RunAsync("evenwater-gave-up", "raise")).Exit);
    }

    [Fact]
    public async Task Without_a_broker_the_journal_has_it_all_the_same()
    {
        Leave(null);
        File.Delete(_tools.In("broker"));
        var ran = await _tools.RunAsync("evenwater-gave-up", "raise");
        Assert.Equal(0, ran.Exit);
        Assert.Contains("<2>The program has given up", ran.Said, StringComparison.Ordinal);
        Assert.Contains("nobody was told over MQTT", ran.Said, StringComparison.Ordinal);
    }

    [Fact]
    public void The_closers_list_names_the_lines_of_the_board_and_none_of_the_rig()
    {
        var simulated = DemoStation.Read();
        Assert.Empty(LeftBehind.LinesOf([simulated]));
        var board = simulated with { Sensors = simulated.Sensors with { Source = SensorSource.Board, GpioChipLabel = "two words", ValveLine = 17 } };
        Assert.Equal(["17 two words"], LeftBehind.LinesOf([simulated, board]));
    }
}
