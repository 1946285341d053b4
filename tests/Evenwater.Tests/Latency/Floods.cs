using System.Diagnostics;
using System.Globalization;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Latency;

/// <summary>Who wants too much, in processes of their own: the page fetched and commands sent, each again at once, by several side by side.</summary>
internal sealed class Floods : IDisposable
{
    private const int Each = 4;

    private readonly List<Process> _processes = [];
    private readonly int _brokerPort;
    private long _pages;

    /// <summary>Begins at once.</summary>
    public Floods(Uri page, int brokerPort, IReadOnlyList<string> stations)
    {
        _brokerPort = brokerPort;
        for (var i = 0; i < Each; i++)
        {
            // curl goes through the numbers, and prints what each was answered; its standard error alone comes line by line.
            var curl = Start(ServerProcess.Find("curl", "curl"), "-s", "-o", "/dev/null", "-w", "%{stderr}%{http_code}\n", $"{page}?n=[1-1000000000]");
            curl.ErrorDataReceived += (_, line) => Interlocked.Add(ref _pages, line.Data == "200" ? 1 : 0);
            curl.BeginErrorReadLine();
            var topic = $"evenwater/v1/{stations[i * stations.Count / Each]}/ask/{(i % 2 == 0 ? "open" : "challenge")}";
            Start("/bin/sh", "-c", $"yes '{{}}' | {ServerProcess.Find("mosquitto_pub", "mosquitto-clients")} -p {brokerPort} -t {topic} -l");
        }
    }

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
        foreach (var process in _processes.Where(p => !p.HasExited))
        {
            process.Kill(entireProcessTree: true);
            process.WaitForExit();
        }

        _processes.Clear();
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
