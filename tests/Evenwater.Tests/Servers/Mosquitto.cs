namespace Evenwater.Tests.Servers;

/// <summary>A real mosquitto that keeps its sessions on the disk.</summary>
internal sealed class Mosquitto : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-mosquitto-");
    private readonly ServerProcess _process;

    /// <param name="access">Lines of its configuration that say who may come in, and how.</param>
        /// <param name="wire">The network that it stands in; null: this computer's own.</param>
    public Mosquitto(string access = "allow_anonymous true", Wire? wire = null)
    {
        Address = wire?.There ?? "127.0.0.1";
        Port = ServerProcess.FreePort();
        var configuration = Path.Combine(_folder.FullName, "mosquitto.conf");
        File.WriteAllText(
            configuration,
            $"""
            listener {Port} {Address}
            {access}
            user {Environment.UserName}
            persistence true
            persistence_location {_folder.FullName}/
            max_queued_messages 0
            autosave_interval 1
            sys_interval 1

            """);
        var program = ServerProcess.Find("mosquitto", "mosquitto");
        _process = wire is null
            ? new ServerProcess("mosquitto", "mosquitto", Port, "-c", configuration)
            : new ServerProcess("ip", "iproute2", Port, "netns", "exec", wire.Name, program, "-c", configuration) { Address = System.Net.IPAddress.Parse(Address) };
    }

    public string Address { get; }

    public int Port { get; }

    public TimeSpan ProcessorTime => _process.ProcessorTime;

    public Task StartAsync() => _process.StartAsync();

    public Task StopAsync() => _process.StopAsync();

    /// <summary>It ends without a word, and without writing its sessions down.</summary>
    public Task KillAsync() => _process.KillAsync();

    /// <summary>It neither ends nor answers.</summary>
    public Task PauseAsync() => _process.SignalAsync("STOP");

    public Task ContinueAsync() => _process.SignalAsync("CONT");

    public void Dispose()
    {
        _process.Dispose();
        _folder.Delete(recursive: true);
    }
}
