using Evenwater.Core.Alarms;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Contract;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using MQTTnet;
using MQTTnet.Server;

namespace Evenwater.Tests.Followers;

/// <summary>What the log no longer gives, or never had, is told over MQTT and holds up nothing else.</summary>
public sealed class MqttLostRowTests : MqttTrouble
{
    /// <summary>A log that fills its disk is told past the log; who then starts the program anew with room again has a log that never knew of it.</summary>
    [Fact]
    public async Task An_alarm_that_was_told_past_the_log_does_not_stand_at_the_broker_for_ever()
    {
        using var broker = new Mosquitto();
        await broker.StartAsync();
        await PublishAsync(broker.Port, new MqttMessages("sim-river", Log.Reader.Identity()).LogLost(calls: true));
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.5 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await using var late = await Listener.StartAsync(broker.Port, Root + "alarm/log-lost");
        var kept = await late.WaitForAsync(m => m.Retain);
        var text = kept.ConvertPayloadToString();
        Assert.Contains("\"state\":\"normal\"", text, StringComparison.Ordinal);
        Assert.Contains("\"calls\":false", text, StringComparison.Ordinal);
        Assert.Null(new MqttContract().Problem(kept));
    }

    /// <summary>A damaged log is set aside, or somebody moves it away to begin a new one, and what it knew of the alarms with it; the broker keeps the last word of it all the same.</summary>
    [Theory]
    [InlineData("The log was damaged.")]
    [InlineData(null)]
    public async Task What_the_broker_keeps_of_a_log_that_was_set_aside_is_cleared(string? why)
    {
        using var broker = new Mosquitto();
        await broker.StartAsync();
        new Night(Log).Add(EntryKind.Alarm, new AlarmBody("probe-trouble", AlarmStanding.Unacknowledged, Priority.Medium, "A probe is not believed", "x", "y") { Calls = true });
        Log.Flush();
        var follower = Follow(new() { Port = broker.Port });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await Ending.CancelAsync();
        await Followed;

        using var folder = new LogFolder();
        using var log = NightLog.Open(folder.Path, pace: LogFolder.Quick, begunAnew: why);
        new Night(log).Add(EntryKind.Alarm, new AlarmBody("blind", AlarmStanding.Unacknowledged, Priority.High, "The probes no longer say enough", "x", "y") { Consequence = "z" });
        log.Flush();
        using var stop = new CancellationTokenSource();
        var anew = new MqttFollower(log, "sim-river", 1, new() { Port = broker.Port }, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _ => { }, Heard);
        var following = anew.RunAsync(stop.Token);
        await Following.Until(() => anew.Fault is null && anew.Behind == 0);
        await using var late = await Listener.StartAsync(broker.Port, Root + "alarm/+");
        await Following.Until(() => late.Heard.Count == AlarmTable.All.Count);
        await stop.CancelAsync();
        await following;
        var contract = new MqttContract();
        Assert.All(late.Heard, m =>
        {
            Assert.Null(contract.Problem(m));
            Assert.Contains(m.Topic.EndsWith("/blind", StringComparison.Ordinal) ? "\"unacknowledged\"" : "\"normal\"", m.ConvertPayloadToString(), StringComparison.Ordinal);
        });
    }

    /// <summary>A worn card gives back a row that is no longer what was written; what comes after it must be told all the same.</summary>
    [Theory]
    [InlineData("body = '{\"name\":\"blind\",\"state\":7x'")]
    [InlineData("wall_ms = -1")]
    [InlineData("clock_quality = 77")]
    [InlineData("kind = 8, body = '{\"word\":\"Steady\",\"text\":\"x\",\"nextWordBySeconds\":1e300}'")] // no date is so late
    public async Task A_row_that_can_not_be_read_is_not_told_and_holds_up_nothing_that_comes_after_it(string bytes)
    {
        var night = new Night(Log);
        var spoilt = night.Add(EntryKind.Alarm, new AlarmBody("blind", AlarmStanding.Unacknowledged, Priority.High, "x", "y", "z") { Consequence = "c" });
        Log.Flush();
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={Folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = $"UPDATE entry SET {bytes} WHERE id = {spoilt}";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        var after = night.Add(EntryKind.Alarm, new AlarmBody("leak", AlarmStanding.Unacknowledged, Priority.Critical, "x", "y", "z") { Consequence = "c" });
        Log.Flush();
        using var broker = new Mosquitto();
        await broker.StartAsync();
        await using var listener = await Listener.StartAsync(broker.Port, Root + "event");
        var follower = Follow(new() { Port = broker.Port });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await listener.WaitForAsync(m => Listener.Sequence(m) == after);
        Assert.DoesNotContain(listener.Heard, m => Listener.Sequence(m) == spoilt);
        Assert.Contains(Heard.Warnings, text => text.Contains($"entry {spoilt} ", StringComparison.Ordinal));
        Assert.All(Recorded, one => Assert.Equal("not-told", one.Name));
        Assert.InRange(Recorded.Count, 1, 2); // the entry, and how the alarms stand
    }

    [Fact]
    public async Task Readings_that_had_to_make_room_before_the_broker_had_them_are_told_of_once()
    {
        var night = new Night(Log);
        for (var i = 0; i < 20; i++)
        {
            night.Cycle();
        }

        Log.Flush();
        Log.MoveCursor("mqtt/sim-river/readings", 5);
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={Folder.File};Pooling=False"))
        {
            // As the log itself lets go of its oldest.
            other.Open();
            using var drop = other.CreateCommand();
            drop.CommandText = "DELETE FROM batch; UPDATE space SET dropped_to = 22";
            drop.ExecuteNonQuery();
        }

        using var broker = await BrokerAsync(_ => { });
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.2 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await broker.Server.DisconnectClientAsync((await broker.Server.GetClientsAsync()).Single().Id);
        night.Cycle();
        Log.Flush();
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        var told = Assert.Single(Recorded);
        Assert.Equal(MqttFollower.NotTold, told.Name);
        Assert.StartsWith("Readings between entries 5 and 22 had to make room", told.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Readings_that_can_not_be_read_hold_up_nothing_that_comes_after_them()
    {
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={Folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "UPDATE batch SET columns = x'0000'";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        var readings = new System.Collections.Concurrent.ConcurrentQueue<string>();
        using var broker = await BrokerAsync(server => server.InterceptingPublishAsync += publication =>
        {
            if (publication.ApplicationMessage.Topic == Root + "readings") readings.Enqueue(publication.ClientId);
            return Task.CompletedTask;
        });
        new Night(Log).Cycle();
        Log.Flush();
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.2 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        Assert.Single(readings);
        var told = Assert.Single(Recorded);
        Assert.Equal((MqttFollower.NotTold, true), (told.Name, told.Text.StartsWith("The log is damaged: what was read between entries 1 and 1 can not be read", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task Where_the_log_knows_how_that_alarm_stands_its_word_is_kept()
    {
        new Night(Log).Add(EntryKind.Alarm, new AlarmBody("log-lost", AlarmStanding.Unacknowledged, Priority.High, "The log can not be written", "x", "y"));
        Log.Flush();
        using var broker = new Mosquitto();
        await broker.StartAsync();
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.5 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await using var late = await Listener.StartAsync(broker.Port, Root + "alarm/log-lost");
        Assert.Contains("\"state\":\"unacknowledged\"", (await late.WaitForAsync(m => m.Retain)).ConvertPayloadToString(), StringComparison.Ordinal);
    }
}
