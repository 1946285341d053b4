using System.Diagnostics;
using System.Globalization;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Latency;

/// <summary>
/// Who wants too much: fifty clients of the page (pages fetched and forms posted again at once, each by processes of their own with several connections; slow ones and ones that
/// send garbage), and commands over the broker.
/// </summary>
internal sealed class Floods : IDisposable
{
    private const int Each = 4;
    private const int Connections = 8;
    private const int Slow = 12;
    private const int Garbled = 6;

    private readonly List<Process> _processes = [];
    private readonly int _brokerPort;
    private readonly RudeClients _rude;
    private long _pages;
    private long _refused;

    /// <summary>Begins at once.</summary>
    public Floods(Uri page, int brokerPort, IReadOnlyList<string> stations)
    {
        _brokerPort = brokerPort;
        _rude = new RudeClients(page.Port, Slow, Garbled);
        for (var i = 0; i < Each; i++)
        {
            // Three fetch and one posts. curl goes through the numbers, and prints what each was answered; its standard error alone comes line by line.
            string[] posts = i == 0 ? ["-H", "Content-Type: application/json", "-d", new string('x', 20_000)] : [];
            var curl = Start(
                ServerProcess.Find("curl", "curl"),
                ["-s", "-Z", "--parallel-max", $"{Connections}", "--interface", $"127.0.0.{i + 2}", .. posts, "-o", "/dev/null", "-w", "%{stderr}%{http_code}\n", $"{page}?n=[1-1000000000]"]);
            curl.ErrorDataReceived += (_, line) => Answered(line.Data);
            curl.BeginErrorReadLine();
            var topic = $"evenwater/v1/{stations[i * stations.Count / Each]}/ask/{(i % 2 == 0 ? "open" : "challenge")}";
            Start("/bin/sh", "-c", $"yes '{{}}' | {ServerProcess.Find("mosquitto_pub", "mosquitto-clients")} -p {brokerPort} -t {topic} -l");
        }
    }

    /// <summary>Requests that were refused, and connections that were ended.</summary>
    public long Refused => Interlocked.Read(ref _refused) + _rude.Ended;

    /// <summary>Pages that were served.</summary>
    public long Pages => Interlocked.Read(ref _pages);

    /// <summary>Messages that the broker has taken so far, the stations' own included, as its own topics tell, anew every second.</summary>
    public async Task<long> MessagesAsync()
    {
        var asks = Start(
            ServerProcess.Find("mosquitto_sub", "mosquitto-clients"), "-p", $"{_brokerPort}", "-t", "$SYS/broker/publish/messages/received", "-C", "1", "-W", "30");
        var said = await asks.StandardOutput.ReadToEndAsync();
        await asks.WaitForExitAsync();
        return long.TryParse(said, CultureInfo.InvariantCulture, out var number) ? number : 0;
    }

    public void Dispose()
    {
        _rude.Dispose();
        foreach (var process in _processes.Where(p => !p.HasExited))
        {
            process.Kill(entireProcessTree: true);
            process.WaitForExit();
        }

        _processes.Clear();
    }

    private void Answered(string? status)
    {
        if (status == "200") Interlocked.Increment(ref _pages);
        else if (status is not null) Interlocked.Increment(ref _refused);
    }

    private Process Start(string program, params string[] arguments)
    {
        var start = ServerProcess.Apart(program, arguments);
        (start.RedirectStandardOutput, start.RedirectStandardError) = (true, program.EndsWith("curl", StringComparison.Ordinal));
        var process = Process.Start(start)!;
        _processes.Add(process);
        return process;
    }
}
