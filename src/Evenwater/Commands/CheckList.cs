using System.Net.Sockets;
using Evenwater.Followers;
using Evenwater.Options;
using Evenwater.Page.Access;
using Evenwater.Watch;

namespace Evenwater.Commands;

/// <summary>Findings of a check, told one a line; the exit code follows from them.</summary>
internal sealed class CheckList
{
    private readonly List<(bool? Good, string What, string Text)> _findings = [];

    public void Good(string what, string text) => _findings.Add((true, what, text));

    public void Note(string what, string text) => _findings.Add((null, what, text));

    /// <summary>True is good, false is bad, null neither.</summary>
    public void Judge(bool? good, string what, string text) => _findings.Add((good, what, text));

    /// <summary>Whether what followers need is there: files of secrets for the owner only, and a peer that listens.</summary>
    public async Task SecretsAsync(MainConfiguration configuration)
    {
        foreach (var (key, file) in new[]
            {
                ("mqtt.passwordFile", configuration.Mqtt?.PasswordFile), ("mqtt.askKeyFile", configuration.Mqtt?.AskKeyFile), ("influx.tokenFile", configuration.Influx?.TokenFile),
                ("page.passwordFile", configuration.Page?.PasswordFile), ("page.keyFile", configuration.Page?.KeyFile), ("page.metricsTokenFile", configuration.Page?.MetricsTokenFile),
            })
        {
            if (file is null)
            {
                continue;
            }

            if (Places.Credential(file) is { } name)
            {
                Note(key, $"{name}, a credential: the unit's LoadCredential= must name it");
                continue;
            }

            var (good, text) = Closed(Places.Secret(file));
            Judge(good, key, text);
        }

        Certificate(configuration.Page);
        if (configuration.Page is { CertificateFile: null } page && PageRules.IsBeyond(page))
        {
            Note("page", "not encrypted: who listens in on its network can read the password. page.certificateFile and page.keyFile encrypt it");
        }

        if (configuration.Mqtt is { } mqtt)
        {
            await BrokerAsync(mqtt);
        }

        if (configuration.Influx is { } influx)
        {
            var url = new Uri(influx.Url);
            Reach("influx", url.Host, url.Port, "is reached; token and bucket are tried by the daemon alone");
        }
    }

    /// <summary>Whether a secret's file is there and closed to others.</summary>
    internal static (bool Good, string Text) Closed(string path) =>
        !File.Exists(path) ? (false, $"{path} is missing")
        : (File.GetUnixFileMode(path) & UnixFileMode.OtherRead) == 0 ? (true, $"{path}, closed to others")
        : (false, $"{path}: everybody can read it. chmod 600 {path}, and make a new one if others were here");

    /// <summary>Whether the service's unit is as it must be.</summary>
    public async Task UnitAsync(MainConfiguration configuration, bool board)
    {
        if (!UnitHere.Systemd)
        {
            Note("unit", "no systemd runs this computer");
            return;
        }

        if (await UnitHere.ReadAsync() is not { } unit)
        {
            Note("unit", $"{UnitHere.Name} is not installed here: nothing restarts the daemon. systemd/install.md tells how");
            return;
        }

        var credentials = new[]
        {
            configuration.Mqtt?.PasswordFile, configuration.Mqtt?.AskKeyFile, configuration.Mqtt?.CaFile, configuration.Influx?.TokenFile,
            configuration.Page?.PasswordFile, configuration.Page?.CertificateFile, configuration.Page?.KeyFile, configuration.Page?.MetricsTokenFile,
        };
        List<string> broken = [.. UnitRules.Broken(unit, credentials.Select(Places.Credential).OfType<string>(), board, File.Exists), .. await UnitHere.NotUnderstoodAsync()];
        if (configuration.Mqtt is { } mqtt)
        {
            broken.AddRange(UnitRules.BrokenLast(await UnitHere.ReadAsync(UnitHere.Last), new[] { mqtt.PasswordFile, mqtt.CaFile }.Select(Places.Credential).OfType<string>(), File.Exists));
            Judge(File.Exists("/usr/bin/mosquitto_pub"), "gave-up", "/usr/bin/mosquitto_pub tells the broker when the daemon stays down (apt install mosquitto-clients)");
        }

        broken.ForEach(text => Judge(false, "unit", text));
        if (broken.Count == 0)
        {
            Good("unit", $"{UnitHere.Name} and its drop-ins are as they must be");
        }

        if (board)
        {
            Judge(File.Exists("/usr/bin/gpioset"), "closer", "/usr/bin/gpioset drives the valve's line low when the daemon has ended (apt install gpiod)");
        }
    }

    /// <summary>Writes all findings; 0 when none is bad.</summary>
    public int Tell()
    {
        foreach (var (good, what, text) in _findings)
        {
            Console.WriteLine($"{(good switch { true => "ok  ", false => "BAD ", null => "    " })} {what}: {text}");
        }

        return _findings.Exists(f => f.Good == false) ? Exit.Bad : Exit.Fine;
    }

    /// <summary>Whether browsers will come in by the page's certificate; one that only the service can read is told of at its start.</summary>
    private void Certificate(PageOptions? page)
    {
        if (page is not { CertificateFile: { } certificate, KeyFile: { } key } || new[] { certificate, key }.Any(file => Places.Credential(file) is not null))
        {
            return;
        }

        var door = PageDoor.Of(page);
        var doubts = door.Doubts(TimeProvider.System.GetUtcNow()).ToArray();
        foreach (var doubt in doubts)
        {
            Judge(false, "page.certificateFile", doubt);
        }

        if (door.Certificate is { } good && doubts.Length == 0)
        {
            Good("page.certificateFile", FormattableString.Invariant($"for all of page.hosts, until {good.NotAfter.ToUniversalTime():yyyy-MM-dd HH:mm} UTC"));
        }
    }

    /// <summary>As the daemon will come, where this user can: a credential only the service can read.</summary>
    private async Task BrokerAsync(BrokerOptions mqtt)
    {
        if (new[] { mqtt.PasswordFile, mqtt.Tls ? mqtt.CaFile : null }.Any(file => Places.Credential(file) is not null))
        {
            Reach("broker", mqtt.Host, mqtt.Port, "is reached; whether it lets the daemon in, the service alone can try");
            return;
        }

        var fault = await MqttKnock.FaultAsync(MainFile.Broker(mqtt));
        Judge(fault is null, "broker", $"{mqtt.Host}:{mqtt.Port}{(fault is null ? " lets the daemon in" : $": {fault}")}");
    }

    private void Reach(string what, string host, int port, string reached)
    {
        using var socket = new Socket(SocketType.Stream, ProtocolType.Tcp);
        try
        {
            var there = socket.ConnectAsync(host, port).Wait(TimeSpan.FromSeconds(3));
            Judge(there, what, $"{host}:{port} {(there ? reached : "does not answer within 3 s")}");
        }
        catch (AggregateException e)
        {
            Judge(false, what, $"{host}:{port}: {e.InnerException!.Message}");
        }
    }
}
