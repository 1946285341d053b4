using System.Diagnostics;
using System.Text.RegularExpressions;
using Evenwater.Tests.Daemon;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Documents;

/// <summary>config/mqtt.md's "From a phone", word for word: its broker, its rights, its commands, against the running daemon.</summary>
public sealed partial class PhoneRecipeTests : IDisposable
{
    private static readonly string Section = Repository.Text("config", "mqtt.md").Split("## From a phone")[1];

    private readonly ProgramUnderTest _program = new();
    private readonly BrokerAccess _access = new();

    public void Dispose()
    {
        _program.Dispose();
        _access.Dispose();
    }

    [Fact]
    public async Task The_text_s_own_commands_hear_the_station_and_close_it_over_TLS_and_may_do_no_more()
    {
        var stop = TestContext.Current.CancellationToken;
        await File.WriteAllTextAsync(_access["acl"], Ours(Block("evenwater.acl")), stop);
        AddUser("station");
        using var broker = new Mosquitto(Access());
        await broker.StartAsync();
        await File.WriteAllTextAsync(
            _program.Configuration,
            $$"""
            { "stations": ["station.json"], "page": { "port": {{_program.PagePort}} },
              "mqtt": { "host": "127.0.0.1", "port": {{broker.Port}}, "tls": true, "caFile": "{{_access["ca.pem"]}}", "user": "station", "passwordFile": "{{_access["right"]}}" } }
            """,
            stop);
        _program.Start("serve", "--config", _program.Configuration);

        // All four subscriptions, ended by themselves after a while; line by line, since a pipe is no terminal.
        using var hearing = Start("stdbuf -oL " + Command("hear", broker.Port) + " -W 60");
        var heard = new List<string>();
        hearing.OutputDataReceived += (_, e) =>
        {
            lock (heard)
            {
                heard.Add(e.Data ?? "");
            }
        };
        hearing.BeginOutputReadLine();
        bool Heard(string topic, params string[] said)
        {
            lock (heard)
            {
                return heard.Any(line => line.StartsWith($"evenwater/v1/sim-river/{topic} ", StringComparison.Ordinal) && said.All(part => line.Contains(part, StringComparison.Ordinal)));
            }
        }

        await Followers.Following.Until(() => Heard("state", "\"online\""), 30);
        Assert.Equal(0, (await RunAsync(Command("close", broker.Port))).Exit);
        await Followers.Following.Until(() => Heard("event", "evenwater.command.v1", "\"verb\":\"close\"", "\"obeyed\":true", "\"by\":\"mqtt phone\"") && Heard("say"), 20);

        var answer = await RunAsync(Command("close and hear the answer", broker.Port));
        Assert.Contains("\"obeyed\":true", answer.Out, StringComparison.Ordinal);

        // The same user may not ask for anything else, and nobody comes in without the password.
        Assert.NotEqual(0, (await RunAsync(Command("close", broker.Port).Replace("'tap water'", "'rain water'", StringComparison.Ordinal))).Exit);
        await RunAsync(Command("close", broker.Port).Replace("ask/close", "ask/open", StringComparison.Ordinal));
        await Task.Delay(1000, stop);
        Assert.False(Heard("event", "ask-refused"), "an ask/open went through");
        hearing.Kill();
    }

    private static string Block(string name) => Regex.Match(Section, $"```\\n# {Regex.Escape(name)}[^\\n]*\\n(.*?)```", RegexOptions.Singleline) is { Success: true } found
        ? found.Groups[1].Value
        : throw new InvalidOperationException($"config/mqtt.md's recipe has no block '# {name}'");

    /// <summary>The demo's station, since nothing drips here.</summary>
    private static string Ours(string text) => text.Replace("v1/river/", "v1/sim-river/", StringComparison.Ordinal);

    private string Command(string name, int port) => Regex.Match(Section, $"```sh\\n# {name}\\n([^\\n]+)\\n```") is { Success: true } found
        ? Ours(found.Groups[1].Value).Replace("HOST", "127.0.0.1", StringComparison.Ordinal).Replace("-p 8883", $"-p {port}", StringComparison.Ordinal)
            .Replace("ca.pem", _access["ca.pem"], StringComparison.Ordinal).Replace("PASSWORD", "'tap water'", StringComparison.Ordinal)
        : throw new InvalidOperationException($"config/mqtt.md's recipe has no command '# {name}'");

    /// <summary>The text's own lines, but for the port and the files' places.</summary>
    private string Access()
    {
        var lines = Block("mosquitto.conf").Split('\n').Where(line => line.Length > 0 && !line.StartsWith("listener ", StringComparison.Ordinal));
        return Places().Replace(string.Join('\n', lines), place => _access[place.Groups[1].Value.Replace("evenwater.", "", StringComparison.Ordinal)]);
    }

    private void AddUser(string name)
    {
        using var tool = Process.Start(ServerProcess.Find("mosquitto_passwd", "mosquitto"), ["-b", _access["users"], name, "tap water"]);
        tool.WaitForExit();
        Assert.Equal(0, tool.ExitCode);
    }

    private static Process Start(string command) => Process.Start(new ProcessStartInfo("sh", ["-c", "exec " + command]) { RedirectStandardOutput = true, RedirectStandardError = true })!;

    private static async Task<(int Exit, string Out)> RunAsync(string command)
    {
        using var process = Start(command);
        var (said, complaint) = (process.StandardOutput.ReadToEndAsync(), process.StandardError.ReadToEndAsync());
        await process.WaitForExitAsync().WaitAsync(TimeSpan.FromSeconds(30));
        return (process.ExitCode, await said + await complaint);
    }

    [GeneratedRegex("/etc/mosquitto/([a-z.]+)")]
    private static partial Regex Places();
}
