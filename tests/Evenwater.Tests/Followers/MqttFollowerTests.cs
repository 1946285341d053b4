using System.Diagnostics;
using System.Text.Json;
using Evenwater.Core.Alarms;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;

namespace Evenwater.Tests.Followers;

/// <summary>Against a real mosquitto.</summary>
public sealed class MqttFollowerTests : IAsyncDisposable
{
    private const string Root = "evenwater/v1/sim-river/";

    private static readonly AlarmBody Alarm = new("flow-low", AlarmStanding.Unacknowledged, Priority.Medium, "Drip slower than set", "nothing yet", "look at the drip");

    private static readonly ForecastBody Forecast = new(60, 90, null, 1e4, 2e4, 3e4, 2.1, 2.2, 2.3, 14, 15, 16, 0.01, 1e-9, Core.Estimation.Health.Ok);

    private readonly LogFolder _folder = new();
    private readonly Mosquitto _broker = new();
    private readonly CancellationTokenSource _stop = new();
    private readonly List<EventBody> _recorded = [];
    private readonly NightLog _log;
    private readonly Night _night;
    private Task _following = Task.CompletedTask;

    public MqttFollowerTests()
    {
        _log = _folder.Open();
        _night = new Night(_log);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _following;
        _log.Dispose();
        _stop.Dispose();
        _broker.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task A_log_that_can_not_commit_is_told_past_the_log_once_and_its_end_by_the_log()
    {
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port);
        Follow(ackSeconds: 0.5);
        await listener.WaitForAsync(m => m.Topic.EndsWith("/state", StringComparison.Ordinal));
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var hold = other.CreateCommand();
            hold.CommandText = "BEGIN IMMEDIATE";
            hold.ExecuteNonQuery();
            _night.Cycle();
            var told = await listener.WaitForAsync(m => m.Topic.EndsWith("/alarm/log-lost", StringComparison.Ordinal) && !m.ConvertPayloadToString().Contains("\"normal\"", StringComparison.Ordinal));
            using var json = System.Text.Json.JsonDocument.Parse(told.ConvertPayloadToString());
            Assert.Equal(
                ("unacknowledged", "high", true),
                (json.RootElement.GetProperty("state").GetString(), json.RootElement.GetProperty("priority").GetString(), json.RootElement.GetProperty("calls").GetBoolean()));
            await listener.WaitForAsync(m => m.Topic.EndsWith("/alarm/log-lost", StringComparison.Ordinal) && m.ConvertPayloadToString().Contains("\"calls\":false", StringComparison.Ordinal));

            // The kept sentence was the last of the log, which told of an open valve and nothing to do.
            await using var late = await Listener.StartAsync(_broker.Port, Root + "say");
            var say = await late.WaitForAsync(m => m.Retain);
            Assert.Contains("\"word\":\"Act\",\"text\":\"The log can not be written. Until it is,", say.ConvertPayloadToString(), StringComparison.Ordinal);
        }

        _night.Add(EntryKind.Alarm, new AlarmBody("log-lost", Evenwater.Core.Alarms.AlarmStanding.ReturnedUnacknowledged, Priority.High, "The log can not be written", "x", "y"));
        var over = await listener.WaitForAsync(m => m.Topic.EndsWith("/alarm/log-lost", StringComparison.Ordinal) && Listener.Sequence(m) is not null);
        Assert.Contains("returnedUnacknowledged", over.ConvertPayloadToString(), StringComparison.Ordinal);
        Assert.Single(listener.Heard, m => m.Topic.EndsWith("/alarm/log-lost", StringComparison.Ordinal) && m.ConvertPayloadToString().Contains("\"calls\":true", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Every_entry_arrives_in_order_though_the_broker_is_restarted_while_they_flow()
    {
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port);
        Follow();
        var restarting = Task.CompletedTask;
        for (var i = 0; i < 300; i++)
        {
            if (i == 100)
            {
                restarting = RestartAsync();
            }

            _night.Cycle();
            if (i % 25 == 0)
            {
                _night.Add(EntryKind.Event, new EventBody("test", $"{i}"));
            }

            await Task.Delay(10, TestContext.Current.CancellationToken);
        }

        await restarting;
        _log.Flush();
        await listener.WaitForAsync(m => Listener.Sequence(m) == _log.LastId);

        // What is sent again after the restart may come twice; the first coming of each is in order within its lane, and none is missing.
        await Following.Until(() => _log.Cursor("mqtt/sim-river/readings") == _log.LastId);
        List<long> First(bool readings) => [.. listener.Heard
            .Where(m => m.Topic.EndsWith("/readings", StringComparison.Ordinal) == readings).Select(Listener.Sequence).OfType<long>().Distinct()];
        await Following.Until(() => First(readings: true).Count == 300 && First(readings: false).Count == 12);
        Assert.Equal(First(readings: true).Order(), First(readings: true));
        Assert.Equal(First(readings: false).Order(), First(readings: false));
        Assert.Equal(Enumerable.Range(1, 312).Select(i => (long)i), First(readings: true).Concat(First(readings: false)).Order());
        Assert.All(listener.Heard, m => Assert.Contains(m.UserProperties, p => p.Name == "simulated"));
        await Following.Until(() => _log.Cursor("mqtt/sim-river") == _log.LastId);
    }

    [Fact]
    public async Task A_broker_that_is_there_but_does_not_answer_is_left_and_nothing_is_lost()
    {
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port);
        var follower = Follow(ackSeconds: 1);
        _night.Cycle();
        _log.Flush();
        await Following.Until(() => follower.Behind == 0 && follower.Fault is null);
        await _broker.PauseAsync();
        _night.Cycle();
        _log.Flush();
        await Following.Until(() => follower.Fault is not null);
        Assert.Equal(1, follower.Behind);
        await _broker.ContinueAsync();
        await listener.WaitForAsync(m => Listener.Sequence(m) == 2);
        await Following.Until(() => follower.Behind == 0 && follower.Fault is null);
    }

    [Fact]
    public async Task One_who_comes_late_is_told_the_state_the_last_words_and_the_alarms_as_they_are_now()
    {
        await _broker.StartAsync();
        _night.Add(EntryKind.Say, new SayBody("Look", "The drip is slower than set.", 90));
        _night.Add(EntryKind.Say, new SayBody("Steady", "Even with the tank at about 02:40, at 23 °C.", 60) { Did = "The valve is open.", Do = "Be there.", WithinSeconds = 3600 });
        _night.Add(EntryKind.Forecast, Forecast);
        _night.Add(EntryKind.Alarm, Alarm);
        _night.Add(EntryKind.Alarm, Alarm with { Name = "brim-near", ByWhen = LogFolder.Evening.AddHours(2) });
        _night.Add(EntryKind.Alarm, Alarm with { State = AlarmStanding.Normal });
        var follower = Follow();
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);

        await using var late = await Listener.StartAsync(_broker.Port);
        await late.WaitForAsync(m => m.Topic == Root + "alarm/brim-near");
        await Task.Delay(100, TestContext.Current.CancellationToken);
        var kept = late.Heard.ToDictionary(m => m.Topic, Json);

        // Of the other alarms the broker may keep what an earlier log told.
        var cleared = kept.Where(k => k.Value.TryGetProperty("did", out var did) && did.GetString()!.EndsWith("the log knows nothing of it.", StringComparison.Ordinal)).Select(k => k.Key[Root.Length..]).ToList();
        Assert.Equal(Evenwater.Core.Alarms.AlarmTable.All.Select(row => $"alarm/{row.Name}").Order(), cleared.Order());
        Assert.Equal(["alarm/brim-near", "alarm/flow-low", "forecast", "say", "state"], kept.Keys.Select(k => k[Root.Length..]).Except(cleared).Order());
        Assert.All(late.Heard, m => Assert.True(m.Retain));
        Assert.All(kept.Values, j => Assert.True(j.GetProperty("simulated").GetBoolean()));
        Assert.Equal("online", kept[Root + "state"].GetProperty("state").GetString());
        Assert.Equal(36, kept[Root + "state"].GetProperty("boot").GetString()!.Length);
        Assert.Equal("Even with the tank at about 02:40, at 23 °C.", kept[Root + "say"].GetProperty("text").GetString());
        Assert.Equal("2026-03-14T20:00:02Z", kept[Root + "say"].GetProperty("at").GetString());
        Assert.Equal("2026-03-14T20:01:02Z", kept[Root + "say"].GetProperty("nextWordBy").GetString());
        Assert.Equal(("The valve is open.", "Be there."), (kept[Root + "say"].GetProperty("did").GetString(), kept[Root + "say"].GetProperty("do").GetString()));
        Assert.Equal("2026-03-14T21:00:02Z", kept[Root + "say"].GetProperty("byWhen").GetString());
        Assert.Equal(2.2, kept[Root + "forecast"].GetProperty("volumeP50Litres").GetDouble());
        Assert.False(kept[Root + "forecast"].TryGetProperty("matchP95Seconds", out _));
        Assert.Equal("normal", kept[Root + "alarm/flow-low"].GetProperty("state").GetString());
        Assert.Equal("unacknowledged", kept[Root + "alarm/brim-near"].GetProperty("state").GetString());
        Assert.Equal("look at the drip", kept[Root + "alarm/brim-near"].GetProperty("do").GetString());
        Assert.Equal("nothing yet", kept[Root + "alarm/brim-near"].GetProperty("did").GetString());
        Assert.StartsWith("2026-03-14T22:00:00", kept[Root + "alarm/brim-near"].GetProperty("byWhen").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_forecast_of_a_run_that_has_ended_is_not_kept_and_the_next_run_s_is()
    {
        await _broker.StartAsync();
        await ClientAsync("mosquitto_pub", "-r", "-t", Root + "forecast", "-m", """{"volumeP50Litres":2.1}"""); // told before the program ended
        _night.Add(EntryKind.Forecast, Forecast);
        _night.Add(EntryKind.Run, new RunBody("finished", "ended by the keeper"));
        _log.Flush(); // or the forecast alone might be there when it first looks
        var follower = Follow();
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        Assert.Null(await KeptForecastAsync());

        _night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
        _night.Add(EntryKind.Forecast, Forecast with { VolumeP50Litres = 3.3 });
        _night.Add(EntryKind.Run, new RunBody("tripped", "the high float is wet"));
        _log.Flush();
        await Following.Until(() => follower.Behind == 0);
        Assert.Contains("\"volumeP50Litres\":3.3", await KeptForecastAsync(), StringComparison.Ordinal);

        _night.Add(EntryKind.Run, new RunBody("abandoned", "ended by the keeper"));
        _log.Flush();
        await Following.Until(() => follower.Behind == 0);
        Assert.Null(await KeptForecastAsync());
    }

    [Fact]
    public async Task An_alarm_that_is_over_is_not_kept_as_raised_even_while_the_backlog_is_told()
    {
        _night.Add(EntryKind.Alarm, Alarm);
        _night.Add(EntryKind.Alarm, Alarm with { State = AlarmStanding.Normal });
        _log.Flush();
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port);
        var follower = Follow();
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await Following.Until(() => listener.Heard.Count(m => m.Topic == Root + "event") == 2);
        Assert.Equal(
            [("alarm/flow-low", 2L, true), ("event", 1L, false), ("event", 2L, false)],
            listener.Heard.Where(m => Listener.Sequence(m) is not null).Select(m => (m.Topic[Root.Length..], Listener.Sequence(m)!.Value, m.Retain)));
    }

    [Fact]
    public async Task Events_are_CloudEvents_with_what_is_needed_to_tell_them_apart_and_in_order()
    {
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port, Root + "event");
        Follow();
        _night.RunId = 4;
        _night.Add(EntryKind.Trip, new TripBody("high float wet"));
        var message = await listener.WaitForAsync(_ => true);
        Assert.Equal("application/cloudevents+json; charset=utf-8", message.ContentType);
        Assert.False(message.Retain);
        var json = Json(message);
        Assert.Equal("1.0", json.GetProperty("specversion").GetString());
        Assert.Equal("000000000001", json.GetProperty("id").GetString());
        Assert.Equal($"urn:uuid:{_log.Reader.Identity()}", json.GetProperty("source").GetString());
        Assert.Equal("evenwater.trip.v1", json.GetProperty("type").GetString());
        Assert.Equal("2026-03-14T20:00:01Z", json.GetProperty("time").GetString());
        var data = json.GetProperty("data");
        Assert.Equal("high float wet", data.GetProperty("cause").GetString());
        Assert.Equal(4, data.GetProperty("run").GetInt64());
        Assert.True(data.GetProperty("simulated").GetBoolean());
        Assert.All(json.EnumerateObject(), p => Assert.Matches("^[a-z0-9]{1,20}$", p.Name));
    }

    [Fact]
    public async Task Killed_it_is_called_offline_by_the_broker_and_stopped_it_says_so_itself()
    {
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port, Root + "state");
        using var childsLog = new LogFolder();
        using (var child = ChildProcess.Follower(childsLog.Path, _broker.Port))
        {
            try
            {
                await listener.WaitForAsync(m => State(m) == "online");
            }
            finally
            {
                child.Kill();
            }
        }

        var will = await listener.WaitForAsync(m => State(m) == "offline");
        Assert.True(will.Retain);
        Assert.True(Json(will).GetProperty("simulated").GetBoolean());
        Assert.Equal("Go and look that no water runs, then start it again.", Json(will).GetProperty("do").GetString());

        var follower = Follow();
        await Following.Until(() => follower.Fault is null);
        await _stop.CancelAsync();
        await _following;
        var stopped = Json(await listener.WaitForAsync(m => State(m) == "stopped"));
        Assert.Equal("The program was stopped. Nobody watches the vessel until it is started again. It closes its valve as it stops.", $"{stopped.GetProperty("text")} {stopped.GetProperty("did")}");
        await Task.Delay(1500, TestContext.Current.CancellationToken);
        Assert.Equal(["online", "offline", "online", "stopped"], listener.Heard.Select(State));
    }

    [Fact]
    public async Task A_station_whose_cycles_stand_still_is_not_called_online()
    {
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port, Root + "state");
        var silent = false;
        Follow(silent: () => Volatile.Read(ref silent));
        await listener.WaitForAsync(m => State(m) == "online");
        Volatile.Write(ref silent, true);
        _night.Add(EntryKind.Event, new EventBody("test", "another station's")); // or after the time of two acknowledgements
        var said = await listener.WaitForAsync(m => State(m) == "offline");
        Assert.True(said.Retain);
        Assert.Equal("The program is there, but this station's cycles stand still: nobody watches the vessel.", Json(said).GetProperty("text").GetString());
        Assert.Null(new Contract.MqttContract().Problem(said));
        Volatile.Write(ref silent, false);
        _night.Add(EntryKind.Event, new EventBody("test", "on"));
        await Following.Until(() => listener.Heard.Select(State).SequenceEqual(["online", "offline", "online"]));
    }

    [Fact]
    public async Task Close_asked_by_a_real_client_is_obeyed_and_answered_and_what_is_refused_is_kept()
    {
        await _broker.StartAsync();
        await ClientAsync("mosquitto_pub", "-t", Root + "ask/close", "-r", "-m", "kept from yesterday");
        var asks = new List<Ask>();
        var follower = Follow(ask =>
        {
            asks.Add(ask);
            return "closed";
        });
        await Following.Until(() => follower.Fault is null && _recorded.Count == 1);
        Assert.StartsWith("ask/close: retained", _recorded[0].Text, StringComparison.Ordinal);
        Assert.Empty(asks);

        var answer = await RequestAsync("ask/close", """{"by":"test client"}""");
        Assert.Equal(("close", true, "closed"), answer);
        Assert.Equal(new Ask("sim-river", "close", "test client"), Assert.Single(asks));

        Assert.Equal(
            ("close", true, "closed (ask/close: payload: 5000 bytes; allowed: 0 to 4096; ignored)"),
            await RequestAsync("ask/close", new string('x', 5000)));
        Assert.Equal(("begin", false, "ask/begin: unknown verb; allowed: close, events, note, challenge, open, reset"), await RequestAsync("ask/begin", "{}"));
        Assert.Equal(2, asks.Count);

        // A client without a place for the answer, as simple ones are.
        await ClientAsync("mosquitto_pub", "-t", Root + "ask/close", "-n");
        await Following.Until(() => asks.Count == 3);
        Assert.Equal(3, _recorded.Count);
        Assert.All(_recorded, r => Assert.Equal("ask-refused", r.Name));
    }

    [Fact]
    public async Task A_handler_that_fails_is_answered_and_the_telling_goes_on()
    {
        await _broker.StartAsync();
        var follower = Follow(_ => throw new InvalidOperationException("the socket is gone"));
        await Following.Until(() => follower.Fault is null);
        Assert.Equal(("close", false, "failed: the socket is gone"), await RequestAsync("ask/close", "{}"));
        _night.Add(EntryKind.Event, new EventBody("test", "on"));
        await Following.Until(() => _log.Cursor("mqtt/sim-river") == 1);
    }

    private MqttFollower Follow(Func<Ask, string>? obey = null, double ackSeconds = 10, Func<bool>? silent = null)
    {
        var follower = new MqttFollower(
            _log,
            "sim-river",
            1,
            new MqttOptions { Port = _broker.Port, AckSeconds = ackSeconds, WillDelaySeconds = 1, RetrySeconds = 0.1, LongestRetrySeconds = 0.5 },
            Desks.Of("sim-river"),
            (ask, _) => Task.FromResult(new Answer(true, obey?.Invoke(ask) ?? "closed")),
            _recorded.Add,
            NullLogger.Instance)
        {
            IsSilent = silent ?? (() => false),
        };
        _following = follower.RunAsync(_stop.Token);
        return follower;
    }

    private async Task RestartAsync()
    {
        await _broker.StopAsync();
        await Task.Delay(300);
        await _broker.StartAsync();
    }

    private async Task<(string? Verb, bool Obeyed, string? Answer)> RequestAsync(string topic, string payload)
    {
        var text = await ClientAsync("mosquitto_rr", "-V", "5", "-t", Root + topic, "-e", Root + "answer/test", "-m", payload, "-W", "20");
        using var json = JsonDocument.Parse(text);
        var root = json.RootElement;
        return (root.GetProperty("verb").GetString(), root.GetProperty("obeyed").GetBoolean(), root.GetProperty("answer").GetString());
    }

    /// <summary>Runs a client of Debian's mosquitto-clients and gives what it prints.</summary>
    private async Task<string> ClientAsync(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(ServerProcess.Find(program, "mosquitto-clients"), ["-h", "127.0.0.1", "-p", $"{_broker.Port}", "-q", "1", .. arguments])
        {
            RedirectStandardOutput = true,
        };
        using var client = Process.Start(start)!;
        var text = await client.StandardOutput.ReadToEndAsync();
        await client.WaitForExitAsync();
        Assert.Equal(0, client.ExitCode);
        return text;
    }

    /// <summary>What the broker keeps; null when it keeps none. The state, which is always kept, shows that nothing more comes.</summary>
    private async Task<string?> KeptForecastAsync()
    {
        await using var late = await Listener.StartAsync(_broker.Port, Root + "#");
        await late.WaitForAsync(m => m.Retain && m.Topic == Root + "state");
        await Task.Delay(100);
        return late.Heard.FirstOrDefault(m => m.Retain && m.Topic == Root + "forecast")?.ConvertPayloadToString();
    }

    private static string? State(MqttApplicationMessage message) => Json(message).GetProperty("state").GetString();

    private static JsonElement Json(MqttApplicationMessage message)
    {
        using var json = JsonDocument.Parse(message.ConvertPayloadToString());
        return json.RootElement.Clone();
    }
}
