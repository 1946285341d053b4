namespace Evenwater.Tests.Servers;

/// <summary>A real mosquitto that keeps its sessions on the disk.</summary>
internal sealed class Mosquitto : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-mosquitto-");
    private readonly ServerProcess _process;

    /// <param name="access">Lines of its configuration that say who may come in, and how.</param>
    public Mosquitto(string access = "allow_anonymous true")
    {
        Port = ServerProcess.FreePort();
        var configuration = Path.Combine(_folder.FullName, "mosquitto.conf");
        File.WriteAllText(
            configuration,
            $"""
            listener {Port} 127.0.0.1
            {access}
            user {Environment.UserName}
            persistence true
            persistence_location {_folder.FullName}/
            max_queued_messages 0
            sys_interval 1

            """);
        _process = new ServerProcess("mosquitto", "mosquitto", Port, "-c", configuration);
    }

    public int Port { get; }

    public Task StartAsync() => _process.StartAsync();

    public Task StopAsync() => _process.StopAsync();

    /// <summary>It neither ends nor answers.</summary>
    public Task PauseAsync() => _process.SignalAsync("STOP");

    public Task ContinueAsync() => _process.SignalAsync("CONT");

    public void Dispose()
    {
        _process.Dispose();
        _folder.Delete(recursive: true);
    }
}
