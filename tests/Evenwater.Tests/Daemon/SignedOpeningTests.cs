using System.Diagnostics;
using System.Text.Json;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Followers;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Daemon;

/// <summary>The running daemon and a real broker, asked by their own command lines and signed by OpenSSL's.</summary>
public sealed class SignedOpeningTests : IDisposable
{
    private const string Key = "000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f";
    private const string Root = "evenwater/v1/sim-river/";

    private readonly ProgramUnderTest _program = new();
    private readonly Mosquitto _broker = new();

    public void Dispose()
    {
        _program.Dispose();
        _broker.Dispose();
    }

    [Fact]
    public async Task A_valve_opens_over_MQTT_when_it_is_signed_and_a_replay_opens_nothing()
    {
        var stop = TestContext.Current.CancellationToken;
        await _broker.StartAsync();
        var credentials = Directory.CreateDirectory(Path.Combine(_program.Folder, "credentials")).FullName;
        await File.WriteAllTextAsync(Path.Combine(credentials, "ask-key"), Key, stop);
        File.SetUnixFileMode(Path.Combine(credentials, "ask-key"), UnixFileMode.UserRead);
        await File.WriteAllTextAsync(
            _program.Configuration,
            $$"""{ "stations": ["station.json"], "page": { "port": {{_program.PagePort}} }, "mqtt": { "host": "127.0.0.1", "port": {{_broker.Port}}, "askKeyFile": "ask-key" } }""",
            stop);
        var daemon = _program.Start(new Dictionary<string, string> { ["CREDENTIALS_DIRECTORY"] = credentials }, "serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        await using var listener = await Listener.StartAsync(_broker.Port, Root + "state");
        await listener.WaitForAsync(m => m.Retain);

        // Nobody stays beside it: without a proof test it is refused, signed or not.
        Assert.Contains("check --proof", (await OpenAsync()).GetProperty("answer").GetString(), StringComparison.Ordinal);
        daemon.Kill(entireProcessTree: true);
        await daemon.WaitForExitAsync(stop);
        ProveInTheLog();
        daemon = _program.Start(new Dictionary<string, string> { ["CREDENTIALS_DIRECTORY"] = credentials }, "serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("Proof test: passed", StringComparison.Ordinal));

        var challenge = (await RequestAsync("challenge", """{"verb":"open","by":"phone"}""")).GetProperty("challenge");
        Assert.Equal((10_000, 46_800), (challenge.GetProperty("millilitres").GetInt64(), challenge.GetProperty("seconds").GetInt64()));
        var signed = await SignedAsync(challenge);
        Assert.True((await RequestAsync("open", signed)).GetProperty("obeyed").GetBoolean());
        await _program.PageAsync(page => page.Contains("The valve is open", StringComparison.Ordinal));
        Assert.True((await RequestAsync("close", "")).GetProperty("obeyed").GetBoolean());

        var replayed = await RequestAsync("open", signed);
        Assert.False(replayed.GetProperty("obeyed").GetBoolean());
        Assert.Contains("used before", replayed.GetProperty("answer").GetString(), StringComparison.Ordinal);

        // Forged, malformed, too large, and then a flood.
        challenge = (await RequestAsync("challenge", """{"verb":"open"}""")).GetProperty("challenge");
        var forged = await SignedAsync(challenge, key: "f" + Key[1..]);
        foreach (var (payload, why) in new[] { (forged, "mac: does not fit"), ("open!", "not as it must be"), (new string('x', 5000), "payload: 5000 bytes") })
        {
            var refused = await RequestAsync("open", payload);
            Assert.False(refused.GetProperty("obeyed").GetBoolean());
            Assert.Contains(why, refused.GetProperty("answer").GetString(), StringComparison.Ordinal);
        }

        var flood = Enumerable.Range(0, 12).Select(_ => RequestAsync("open", "{}", seconds: 3, name: "flood")).ToList();
        Assert.True((await RequestAsync("close", "")).GetProperty("obeyed").GetBoolean());
        await Task.WhenAll(flood);

        daemon.Kill(entireProcessTree: true);
        await daemon.WaitForExitAsync(stop);
        using var log = NightLog.Open(_program.State);
        var entries = log.Reader.Read(0, 10_000);
        Assert.Equal([true, false], entries.Where(e => e.Kind == EntryKind.Valve).Select(e => LogJson.Read<ValveBody>(e.Body!).Open));
        Assert.Contains(entries, e => e.Kind == EntryKind.Event && LogJson.Read<EventBody>(e.Body!) is { Name: "ask-refused", Text: var text } && text.Contains("used before", StringComparison.Ordinal));
        var events = entries.Where(e => e.Kind == EntryKind.Event).Select(e => LogJson.Read<EventBody>(e.Body!)).ToList();
        Assert.All(["mac: does not fit", "not as it must be", "5000 bytes"], why => Assert.Contains(events, e => e.Name == "ask-refused" && e.Text.Contains(why, StringComparison.Ordinal)));
        Assert.Contains(events, e => e.Name == "ask-flood");
        Assert.Contains(entries, e => e.Kind == EntryKind.Command && LogJson.Read<CommandBody>(e.Body!) is { Verb: "begin", By: "mqtt phone", Obeyed: true });
    }

    /// <summary>A proof test that passed stands in the log, as if it had been gone through.</summary>
    private void ProveInTheLog()
    {
        using var log = NightLog.Open(_program.State);
        var passed = Enum.GetValues<ProofPart>().Where(part => part != ProofPart.None).Select(part => new ProofResult(part, Seen: true, Passed: true));
        new Night(log).Add(EntryKind.Event, new EventBody(ProofDesk.EventName, "passed") { Proof = new ProofRecord(TimeProvider.System.GetUtcNow(), "Ann", [.. passed]) });
        log.Flush();
    }

    private async Task<JsonElement> OpenAsync() =>
        await RequestAsync("open", await SignedAsync((await RequestAsync("challenge", """{"verb":"open"}""")).GetProperty("challenge")));

    private static async Task<string> SignedAsync(JsonElement challenge, string key = Key)
    {
        var budget = new OpeningBudget(challenge.GetProperty("millilitres").GetInt64(), challenge.GetProperty("seconds").GetInt64());
        var nonce = challenge.GetProperty("nonce").GetString()!;
        var mac = await WorkedExampleTests.OpenSslAsync($"evenwater/v1 sim-river open {budget.Millilitres} {budget.Seconds} {nonce}", key);
        return $$"""{"nonce":"{{nonce}}","millilitres":{{budget.Millilitres}},"seconds":{{budget.Seconds}},"mac":"{{mac}}","by":"phone"}""";
    }

    private async Task<JsonElement> RequestAsync(string verb, string payload, int seconds = 20, string name = "phone")
    {
        var start = new ProcessStartInfo(
            ServerProcess.Find("mosquitto_rr", "mosquitto-clients"),
            ["-h", "127.0.0.1", "-p", $"{_broker.Port}", "-q", "1", "-V", "5", "-t", $"{Root}ask/{verb}", "-e", $"{Root}answer/{name}", "-m", payload, "-W", $"{seconds}"])
        {
            RedirectStandardOutput = true,
        };
        using var client = Process.Start(start)!;
        var text = await client.StandardOutput.ReadToEndAsync();
        await client.WaitForExitAsync();
        using var json = JsonDocument.Parse(text.Length > 0 ? text : "{}"); // a flood is not answered
        return json.RootElement.Clone();
    }
}
