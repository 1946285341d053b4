using System.Diagnostics;
using System.Net;
using System.Net.Sockets;

namespace Evenwater.Tests.Servers;

/// <summary>A real server from a Debian package, on this computer only, with a folder of its own; started and stopped by its process id.</summary>
internal sealed class ServerProcess(string program, string package, int port, params string[] arguments) : IDisposable
{
    private Process? _process;

    /// <summary>Where it listens.</summary>
    public IPAddress Address { get; init; } = IPAddress.Loopback;

    /// <summary>Below what Linux gives to outgoing connections (32768 on): between the choice and the listening no client of another test can take it.</summary>
    private const int FirstPort = 20_000;
    private const int Ports = 12_000;

    private static int _last = Environment.ProcessId * 7;

    /// <summary>A port that nobody listens on, and that was not given before in this process.</summary>
    public static int FreePort()
    {
        while (true)
        {
            var port = FirstPort + ((Interlocked.Increment(ref _last) & int.MaxValue) % Ports);
            try
            {
                using var listener = new TcpListener(IPAddress.Loopback, port);
                listener.Start();
                return port;
            }
            catch (SocketException)
            {
                // Somebody has it: the next.
            }
        }
    }

    /// <summary>Where the program is. The test fails, never skips, when it is missing.</summary>
    public static string Find(string program, string package)
    {
        var found = new[] { "/usr/sbin", "/usr/bin", "/usr/local/bin" }.Select(folder => Path.Combine(folder, program)).FirstOrDefault(File.Exists);
        Assert.True(found is not null, $"this test needs {program}: sudo apt-get install {package}");
        return found!;
    }

    /// <summary>
    /// A process that goes before nobody: where these tests run with the share of a service (tests/latency says where others are to go), it leaves its group, and has a
    /// session of its own.
    /// </summary>
    public static ProcessStartInfo Apart(string program, params string[] arguments) => Environment.GetEnvironmentVariable("EVENWATER_OTHERS") is { Length: > 0 } group
        ? new("setsid", ["sh", "-c", "echo $$ >\"$0\" && exec \"$@\"", group, program, .. arguments])
        : new(program, arguments);

    /// <summary>What it has used of the processors since it was started.</summary>
    public TimeSpan ProcessorTime
    {
        get
        {
            _process!.Refresh();
            return _process.TotalProcessorTime;
        }
    }

    /// <summary>Starts it and waits until it listens.</summary>
    public async Task StartAsync()
    {
        var start = Apart(Find(program, package), arguments);
        (start.RedirectStandardError, start.RedirectStandardOutput) = (true, true);
        var process = Process.Start(start)!;
        _process = process;
        var said = new Queue<string>();
        void Keep(object? sender, DataReceivedEventArgs e)
        {
            lock (said)
            {
                said.Enqueue(e.Data ?? "");
                while (said.Count > 20)
                {
                    said.Dequeue();
                }
            }
        }

        process.OutputDataReceived += Keep;
        process.ErrorDataReceived += Keep;
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        for (var i = 0; i < 600; i++)
        {
            if (process.HasExited)
            {
                lock (said)
                {
                    Assert.Fail($"{program} ended with {process.ExitCode}: {string.Join(Environment.NewLine, said)}");
                }
            }

            if (await ListensAsync())
            {
                return;
            }

            await Task.Delay(50);
        }

        Assert.Fail($"{program} does not listen on {port} after 30 s");
    }

    /// <summary>Asks it to end, as a restart of the service would.</summary>
    public async Task StopAsync()
    {
        var process = _process!;
        await SignalAsync("TERM");
        await process.WaitForExitAsync().WaitAsync(TimeSpan.FromSeconds(30));
        process.Dispose();
        _process = null;
    }

    /// <summary>It ends in the midst of whatever it does.</summary>
    public async Task KillAsync()
    {
        var process = _process!;
        process.Kill();
        await process.WaitForExitAsync().WaitAsync(TimeSpan.FromSeconds(30));
        process.Dispose();
        _process = null;
    }

    /// <summary>Sends it a signal, such as STOP or CONT.</summary>
    public async Task SignalAsync(string signal)
    {
        using var kill = Process.Start("kill", [$"-{signal}", $"{_process!.Id}"]);
        await kill.WaitForExitAsync();
    }

    public void Dispose()
    {
        if (_process is { HasExited: false } process)
        {
            process.Kill();
            process.WaitForExit();
        }

        _process?.Dispose();
    }

    private async Task<bool> ListensAsync()
    {
        try
        {
            using var client = new TcpClient();
            await client.ConnectAsync(Address, port);
            return true;
        }
        catch (SocketException)
        {
            return false;
        }
    }
}
