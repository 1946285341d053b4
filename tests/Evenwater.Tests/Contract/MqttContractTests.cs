using System.Diagnostics;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Evenwater.Commands;
using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Documents;
using Evenwater.Tests.Followers;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Evenwater.Watch;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace Evenwater.Tests.Contract;

/// <summary>What is really sent, against config/asyncapi.json, both ways.</summary>
public sealed class MqttContractTests
{
    private const string Root = "evenwater/v1/sim-river/";

    [Fact]
    public async Task Every_message_of_a_night_is_as_the_file_says_and_every_message_of_the_file_is_met()
    {
        var stop = TestContext.Current.CancellationToken;
        using var folder = new LogFolder();
        using var log = folder.Open();
        var station = DemoStation.Read();
        new Night(log).Add(EntryKind.Event, new EventBody(ProofDesk.EventName, "failed")
        {
            Proof = new ProofRecord(LogFolder.Evening, "Ann", [new(ProofPart.FloatHigh, Seen: true, Passed: true), new(ProofPart.Opens, Seen: false, Passed: false, "no water")]),
        });
        new Night(log).Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.WaterChange, By = "Ann", Text = "half", Litres = 20, At = LogFolder.Evening, WrittenAt = LogFolder.Evening }));
        new Night(log).Add(EntryKind.Note, new NoteBody(new Note
        {
            Id = "n2", Kind = NoteKind.Calibration, By = "Ann", At = LogFolder.Evening,
            Calibration = new("vessel-conductivity", LogFolder.Evening, "Ann", "", [new("sensors.vesselConductivity.cellConstantPerCm", "1/cm", 1, 1.01, 0.01)], LogFolder.Evening.AddDays(30)),
        }));
        new Night(log).Add(EntryKind.Note, new NoteBody(new Note
        {
            Id = "n3", Kind = NoteKind.Arrival, By = "Ann", At = LogFolder.Evening,
            Arrival = new() { Species = "rice fish", Count = 6, Grams = 3, Group = AnimalGroup.FreshwaterFish, HoursInTransit = 20, MicrosiemensPerCm = 410, Celsius = 19.5, Ph = 6.8, TotalAmmoniaMilligramsPerLitre = 3, NitriteMilligramsPerLitre = 0 },
        }));
        new Night(log).Add(EntryKind.Note, new NoteBody(new Note { Id = "n4", Kind = NoteKind.Outcome, By = "Ann", At = LogFolder.Evening, Outcome = new() { Arrival = "n3", Run = 1, Look = Look.Day, Alive = 6, Dead = 0 } }));
        new Night(log).Add(EntryKind.Event, new EventBody("run-animals", "This run is for 6 animals.") { Arrival = "n3" });
        var seen = new Note { Id = "n5", Kind = NoteKind.Test, By = "Ann", At = LogFolder.Evening, Test = new() { Of = Substance.Nitrate, Value = 20, Step = 5 } };
        foreach (var note in new[]
        {
            seen,
            seen with { Id = "n6", Kind = NoteKind.Observation, Test = null, Observation = new(Sight.PlantColour, 3) },
            seen with { Id = "n7", Kind = NoteKind.Trouble, Test = null, Trouble = new(TroubleStep.Opened, "green water") },
            seen with { Id = "n8", Kind = NoteKind.Trouble, Test = null, Trouble = new(TroubleStep.Closed, Of: "n7"), Photographs = [new string('a', 64)] },
        })
        {
            new Night(log).Add(EntryKind.Note, new NoteBody(note));
        }

        Rehearsal.Run(station, 1, [RigFault.Parse("no-answer@20m"), RigFault.Parse("leak-wet@40m")], 0.75, log);
        new Night(log).Add(EntryKind.Run, new RunBody("abandoned", "ended by the keeper"));
        log.Flush();

        var port = ServerProcess.FreePort();
        await using var broker = await EmbeddedBroker.StartAsync(port);
        await using var listener = await Listener.StartAsync(port, "#");
        using var ending = new CancellationTokenSource();
        var follower = new MqttFollower(
            log, "sim-river", 1, new MqttOptions { Port = port }, Desks.Of("sim-river", Desks.Key), (ask, _) => Task.FromResult(new Answer(true, ask.Verb)), _ => { }, NullLogger.Instance);
        var following = follower.RunAsync(ending.Token);
        await Following.Until(() => follower.Fault is null && follower.Behind == 0, 60);

        await AskAsync(port, "close", "", stop);
        await AskAsync(port, "events", """{"since":0,"by":"phone"}""", stop);
        await AskAsync(port, "note", """{"kind":"dose","text":"iron","amount":5,"unit":"mL","at":"2026-03-14T19:30:00+01:00","by":"phone"}""", stop);
        await AskAsync(port, "challenge", """{"verb":"open"}""", stop);
        var challenge = await listener.WaitForAsync(m => Text(m).Contains("\"nonce\"", StringComparison.Ordinal));
        await AskAsync(port, "open", Signed(challenge), stop);
        await AskAsync(port, "challenge", """{"verb":"reset","by":"phone"}""", stop);
        challenge = await listener.WaitForAsync(m => Text(m).Contains("\"verb\":\"reset\",\"millilitres\"", StringComparison.Ordinal));
        await AskAsync(port, "reset", Signed(challenge), stop);
        await GaveUpAsync(folder, port);
        await listener.WaitForAsync(m => m.Topic.EndsWith("/gave-up", StringComparison.Ordinal));
        await ending.CancelAsync();
        await following;
        await listener.WaitForAsync(m => Text(m).Contains("\"stopped\"", StringComparison.Ordinal));

        var contract = new MqttContract();
        var past = new MqttMessages("sim-river", log.Reader.Identity());
        var heard = listener.Heard.Append(past.LogLost(calls: true)).Append(past.SayLogLost())
            .Concat(new[] { true, false }.Select(raise => SilentAlarm.Message("sim-river", raise, TimeSpan.FromMinutes(10), LogFolder.Evening))).ToList();
        Assert.Equal([], heard.Select(contract.Problem).OfType<string>().Take(5));
        Assert.Equal([], contract.NotMet);
        Assert.InRange(heard.Count, 2700, 10_000); // 45 min of readings, and what else was told
    }

    [Fact]
    public void The_file_s_alarms_are_the_table_s() =>
        Assert.Equal(AlarmTable.All.Select(row => row.Name), new MqttContract().Channels["alarm"]!["parameters"]!["alarm"]!["enum"]!.AsArray().Select(name => (string)name!));

    [Fact]
    public void Every_object_of_the_file_is_closed_and_every_reference_leads_somewhere()
    {
        var file = JsonNode.Parse(Repository.Text("config", "asyncapi.json"))!;
        var (open, lost) = (new List<string>(), new List<string>());
        Walk(file);
        Assert.Equal([], open.Concat(lost));

        void Walk(JsonNode? node)
        {
            if (node is JsonObject o)
            {
                if (o["type"] is JsonValue && (string?)o["type"] == "object" && o["properties"] is not null && (bool?)o["additionalProperties"] != false)
                {
                    open.Add(o.GetPath());
                }

                if (o["$ref"] is JsonValue to && ((string)to!)[2..].Split('/').Aggregate((JsonNode?)file, (at, name) => at?[name]) is null)
                {
                    lost.Add((string)to!);
                }
            }

            foreach (var child in node switch { JsonObject i => i.Select(p => p.Value), JsonArray a => a, _ => [] })
            {
                Walk(child);
            }
        }
    }

    public static TheoryData<string, string> Spoilt => new()
    {
        { Root + "say", """{"station":"sim-river","simulated":true,"sequence":1,"monoSeconds":1,"clock":"simulated","word":"Look","text":"x","nextWordBySeconds":60,"mood":"good"}""" },
        { Root + "say", """{"station":"sim-river","simulated":true,"sequence":1,"monoSeconds":1,"clock":"simulated","word":"Look","nextWordBySeconds":60}""" },
        { Root + "song", """{"station":"sim-river","simulated":true,"sequence":1,"monoSeconds":1,"clock":"simulated","word":"Look","text":"x","nextWordBySeconds":60}""" },
        { Root + "say", """{"station":"sim-river","simulated":true,"sequence":1,"at":"yesterday","monoSeconds":1,"clock":"simulated","word":"Look","text":"x","nextWordBySeconds":60}""" },
    };

    [Theory]
    [MemberData(nameof(Spoilt))]
    public void A_key_too_many_one_too_few_a_topic_and_a_time_that_are_none_are_told(string topic, string payload)
    {
        MqttApplicationMessage Of(string where, string text, bool retain = true, uint expiry = 0) => new MqttApplicationMessageBuilder()
            .WithTopic(where).WithPayload(text).WithContentType("application/json").WithPayloadFormatIndicator(MqttPayloadFormatIndicator.CharacterData)
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce).WithRetainFlag(retain).WithMessageExpiryInterval(expiry)
            .WithUserProperty("sequence", "1"u8.ToArray().AsMemory()).WithUserProperty("simulated", "true"u8.ToArray().AsMemory()).Build();

        Assert.NotNull(new MqttContract().Problem(Of(topic, payload)));
        const string Good = """{"station":"sim-river","simulated":true,"sequence":1,"monoSeconds":1,"clock":"simulated","word":"Look","text":"x","nextWordBySeconds":60}""";
        Assert.Null(new MqttContract().Problem(Of(Root + "say", Good)));
        Assert.NotNull(new MqttContract().Problem(Of(Root + "say", Good, retain: false)));
        Assert.NotNull(new MqttContract().Problem(Of(Root + "say", Good, expiry: 5)));
    }

    private static string Text(MqttApplicationMessage message) => message.ConvertPayloadToString() ?? "";

    private static string Signed(MqttApplicationMessage answer)
    {
        using var json = JsonDocument.Parse(answer.ConvertPayloadToString());
        var given = json.RootElement.GetProperty("challenge");
        var budget = new OpeningBudget(given.GetProperty("millilitres").GetInt64(), given.GetProperty("seconds").GetInt64());
        return Desks.Signed(new Challenge("sim-river", given.GetProperty("verb").GetString()!, budget, given.GetProperty("nonce").GetString()!));
    }

    private static async Task AskAsync(int port, string verb, string payload, CancellationToken stop)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithProtocolVersion(MqttProtocolVersion.V500).WithTcpServer("127.0.0.1", port).Build(), stop);
        await client.PublishAsync(
            new MqttApplicationMessageBuilder().WithTopic($"{Root}ask/{verb}").WithPayload(payload).WithResponseTopic($"{Root}answer/phone").WithCorrelationData(Encoding.ASCII.GetBytes(verb))
                .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce).Build(),
            stop);
        await client.DisconnectAsync(new MqttClientDisconnectOptions(), stop);
    }

    /// <summary>The service's own alarm, by its own script and the real mosquitto_pub.</summary>
    private static async Task GaveUpAsync(LogFolder folder, int port)
    {
        await File.WriteAllLinesAsync(Path.Combine(folder.Path, "broker"), LeftBehind.BrokerOf(new MqttOptions { Port = port }, [DemoStation.Read()], folder.Path));
        var start = new ProcessStartInfo("sh", [Path.Combine(Repository.Root, "systemd", "evenwater-gave-up"), "raise"]) { RedirectStandardError = true, RedirectStandardOutput = true };
        (start.Environment["STATE_DIRECTORY"], start.Environment["RUNTIME_DIRECTORY"]) = (folder.Path, folder.Path);
        using var script = Process.Start(start)!;
        await script.WaitForExitAsync();
        Assert.Equal(0, script.ExitCode);
    }
}
