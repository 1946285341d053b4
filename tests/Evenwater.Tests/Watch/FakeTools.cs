using System.Diagnostics;
using Evenwater.Tests.Documents;

namespace Evenwater.Tests.Watch;

/// <summary>A folder in which a script of systemd/ runs with stand-ins for the programs it calls, and nothing else but the usual ones.</summary>
internal sealed class FakeTools : IDisposable
{
    private static readonly string Fakes = Path.Combine(Repository.Root, "tests", "Evenwater.Tests", "Watch", "Fakes");

    private readonly string _tools;

    public FakeTools(params (string Name, string File)[] tools)
    {
        Folder = Directory.CreateTempSubdirectory("evenwater-fakes").FullName;
        _tools = Directory.CreateDirectory(Path.Combine(Folder, "tools")).FullName;
        File.Copy(Path.Combine(Fakes, "line"), Path.Combine(_tools, "line"));
        foreach (var (name, file) in tools)
        {
            File.Copy(Path.Combine(Fakes, file), Path.Combine(_tools, name)); // and its mode with it
        }

        // The real ones of this computer must not be found.
        foreach (var usual in new[] { "sh", "cat", "sed", "head", "echo", "sleep", "sort", "timeout", "dirname", "date", "rm", "mktemp", "env" })
        {
            File.CreateSymbolicLink(Path.Combine(_tools, usual), Path.Combine("/usr/bin", usual));
        }
    }

    public string Folder { get; }

    public string In(string name) => Path.Combine(Folder, name);

    public void Put(string name, string text) => File.WriteAllText(In(name), text);

    public string Get(string name) => File.Exists(In(name)) ? File.ReadAllText(In(name)) : "";

    /// <summary>Runs a script of systemd/; what it said on both streams.</summary>
    public async Task<(int Exit, string Said, TimeSpan Took)> RunAsync(string script, params string[] args)
    {
        var info = new ProcessStartInfo(Path.Combine(Repository.Root, "systemd", script), args) { RedirectStandardOutput = true, RedirectStandardError = true };
        info.Environment["PATH"] = _tools;
        info.Environment["FAKE"] = Folder;
        info.Environment["RUNTIME_DIRECTORY"] = Folder;
        info.Environment["STATE_DIRECTORY"] = Folder;
        info.Environment["CREDENTIALS_DIRECTORY"] = Folder;
        var began = Stopwatch.GetTimestamp();
        using var process = Process.Start(info)!;
        var (output, error) = (process.StandardOutput.ReadToEndAsync(), process.StandardError.ReadToEndAsync());
        var said = await output + await error;
        await process.WaitForExitAsync();
        return (process.ExitCode, said, Stopwatch.GetElapsedTime(began));
    }

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}
