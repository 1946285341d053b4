using System.Diagnostics;
using System.Net;
using System.Text;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Daemon;

/// <summary>What one call of the program came to.</summary>
internal sealed record Called(int Exit, string Out, string Error);

/// <summary>The program as a person runs it: a process of its own with its own state folder.</summary>
internal sealed class ProgramUnderTest : IDisposable
{
    private readonly List<Process> _started = [];

    public ProgramUnderTest()
    {
        Folder = Directory.CreateTempSubdirectory("evenwater-daemon").FullName;
        State = Directory.CreateDirectory(Path.Combine(Folder, "state")).FullName;
        PagePort = ServerProcess.FreePort();
        File.WriteAllText(
            Path.Combine(Folder, "station.json"),
            File.ReadAllText(Path.Combine(Documents.Repository.Root, "config", "stations", "sim-river.json")));
        Configuration = Path.Combine(Folder, "evenwater.json");
        File.WriteAllText(Configuration, $$"""{ "stations": ["station.json"], "page": { "port": {{PagePort}} } }""");
    }

    public string Folder { get; }

    public string State { get; }

    public string Configuration { get; }

    public int PagePort { get; }

    public Process Start(params string[] args) => Start(new Dictionary<string, string>(), args);

    public Process Start(Dictionary<string, string> variables, params string[] args)
    {
        var info = new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "evenwater.dll"), .. args])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            WorkingDirectory = Documents.Repository.Root,
        };
        info.Environment["STATE_DIRECTORY"] = State;
        info.Environment.Remove("EVENWATER_CONFIG");
        foreach (var (name, value) in variables)
        {
            info.Environment[name] = value;
        }

        var process = Process.Start(info)!;
        _started.Add(process);
        return process;
    }

    public async Task<Called> CallAsync(params string[] args)
    {
        using var process = Start(args);
        _started.Remove(process);
        process.StandardInput.Close();
        var output = process.StandardOutput.ReadToEndAsync();
        var error = process.StandardError.ReadToEndAsync();
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        await process.WaitForExitAsync(patience.Token);
        return new Called(process.ExitCode, await output, await error);
    }

    /// <summary>A call from a terminal whose output goes through a pipe, as with "| tee".</summary>
    public async Task<string> CallPipedAsync(string args)
    {
        var info = new ProcessStartInfo("script", ["-qec", $"dotnet '{Path.Combine(AppContext.BaseDirectory, "evenwater.dll")}' {args} 2>&1 | cat", "/dev/null"])
        {
            RedirectStandardOutput = true,
            WorkingDirectory = Documents.Repository.Root,
        };
        info.Environment["STATE_DIRECTORY"] = State;
        info.Environment.Remove("EVENWATER_CONFIG");
        using var process = Process.Start(info)!;
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        return await process.StandardOutput.ReadToEndAsync(patience.Token);
    }

    public async Task<string> PageAsync(Predicate<string> until, string path = "/")
    {
        using var http = new HttpClient { BaseAddress = new Uri($"http://127.0.0.1:{PagePort}"), Timeout = TimeSpan.FromSeconds(5) };
        var waited = Stopwatch.StartNew();
        var last = new StringBuilder();
        while (waited.Elapsed < TimeSpan.FromSeconds(45))
        {
            try
            {
                var text = WebUtility.HtmlDecode(await http.GetStringAsync(new Uri(path, UriKind.Relative)));
                last.Clear().Append(text);
                if (until(text))
                {
                    return text;
                }
            }
            catch (HttpRequestException)
            {
                // Not up yet.
            }

            if (_started is [.., { HasExited: true } ended])
            {
                throw new InvalidOperationException($"the program has ended, exit code {ended.ExitCode}: {await ended.StandardError.ReadToEndAsync()}");
            }

            await Task.Delay(100);
        }

        throw new TimeoutException($"the page never said it; last: {last}");
    }

    public void Dispose()
    {
        foreach (var process in _started)
        {
            if (!process.HasExited)
            {
                process.Kill(entireProcessTree: true);
                process.WaitForExit();
            }

            process.Dispose();
        }

        Directory.Delete(Folder, recursive: true);
    }
}
