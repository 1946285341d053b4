using Evenwater.Core.Stations;
using Evenwater.Followers;

namespace Evenwater.Options;

/// <summary>A configuration that can be used, or what is wrong with it.</summary>
internal sealed record MainReading(MainConfiguration? Configuration, IReadOnlyList<Station> Stations, IReadOnlyList<Problem> Problems);

/// <summary>Reads the daemon's own file and every station file it names.</summary>
internal static class MainFile
{
    /// <summary>Reads them.</summary>
    /// <param name="path">The daemon's own file.</param>
    /// <param name="serving">Whether this is the service. Otherwise a credential, which the service alone can read, is not missed.</param>
    public static MainReading Read(string path, bool serving = true)
    {
        byte[] text;
        try
        {
            text = File.ReadAllBytes(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return Bad(new Problem(path.Length == 0 ? "--config" : path, path.Length == 0 ? "empty" : "cannot be read", "a configuration file that this user may read", path.Length == 0 ? "Name it." : JsonText.Unreadable(path, e)));
        }

        var (configuration, _, wrong) = JsonText.Read<MainConfiguration>(text, MainConfiguration.Json, "the daemon's own file");
        if (configuration is null)
        {
            return new MainReading(null, [], wrong);
        }

        var problems = Check(configuration, serving).ToList();
        var folder = Path.GetDirectoryName(Path.GetFullPath(path))!;
        var stations = new List<Station>();
        foreach (var (file, index) in configuration.Stations.Select((f, i) => (f, i)))
        {
            if (string.IsNullOrWhiteSpace(file))
            {
                problems.Add(new Problem($"stations[{index}]", file is null ? "null" : "empty", "a station file", "Give its path, relative to this file."));
                continue;
            }

            var reading = StationFile.Read(Path.Combine(folder, file));
            problems.AddRange(reading.Problems.Select(p => p with { Key = $"stations[{index}] ({file}): {p.Key}" }));
            if (reading.Station is { } station)
            {
                if (stations.Any(s => s.Name == station.Name))
                {
                    problems.Add(new Problem($"stations[{index}] ({file}): name", station.Name, "a name used once", "Give each station its own name."));
                }

                problems.AddRange(stations.SelectMany(other => SharedParts.Of(station, other)).Select(p => p with { Key = $"stations[{index}] ({file}): {p.Key}" }));
                stations.Add(station);
            }
        }

        return new MainReading(configuration, stations, problems);
    }

    private static IEnumerable<Problem> Check(MainConfiguration c, bool serving)
    {
        if (c.Stations.Count is 0 or > 32)
        {
            yield return new Problem("stations", $"{c.Stations.Count} files", "1 to 32 station files", "Name at least one station file.");
        }

        if (c.Store.BatchSeconds is not (>= 0.1 and <= 600))
        {
            yield return new Problem("store.batchSeconds", $"{c.Store.BatchSeconds}", "0.1 to 600 s", "5 is a good start.");
        }

        if (c.Store.BudgetMegabytes is not (>= 50 and <= 100_000))
        {
            yield return new Problem("store.budgetMegabytes", $"{c.Store.BudgetMegabytes}", "50 to 100000 MB", "1000 holds some years of one station.");
        }

        foreach (var problem in c.Page is { } page ? PageRules.Check(page, serving) : [])
        {
            yield return problem;
        }

        foreach (var problem in c.Mqtt is { } broker ? CheckBroker(broker) : [])
        {
            yield return problem;
        }

        if (c.Mqtt?.AskKeyFile is { } keyFile && (serving || Places.Credential(keyFile) is null) && AskKey.Read(Places.Secret(keyFile)).Problem is { } badKey)
        {
            yield return badKey;
        }

        if (c.Influx is { } influx && !(Uri.TryCreate(influx.Url, UriKind.Absolute, out var url) && url.Scheme is "http" or "https"))
        {
            yield return new Problem("influx.url", influx.Url, "an http or https address", "Such as http://127.0.0.1:8086.");
        }

        if (c.Influx is { } database && string.IsNullOrWhiteSpace(database.Bucket))
        {
            yield return new Problem("influx.bucket", "empty", "a bucket's name, or database/retention with influx.version1", "Name where the readings go.");
        }
    }

    /// <summary>What is wrong with the key "mqtt".</summary>
    public static IEnumerable<Problem> CheckBroker(BrokerOptions mqtt)
    {
        if (string.IsNullOrWhiteSpace(mqtt.Host))
        {
            yield return new Problem("mqtt.host", "empty", "a broker's name or address", "Such as 127.0.0.1; say \"mqtt\": null for no broker.");
        }

        else if (Uri.CheckHostName(mqtt.Host) == UriHostNameType.Unknown)
        {
            yield return new Problem("mqtt.host", $"\"{mqtt.Host}\"", "a broker's name or address alone", "Leave out mqtt://, the port (it is mqtt.port) and blanks.");
        }

        if (mqtt.Port is < 1 or > 65535)
        {
            yield return new Problem("mqtt.port", $"{mqtt.Port}", "1 to 65535", "1883, or 8883 with TLS, is usual.");
        }

        if (mqtt is { Tls: true, CaFile: null })
        {
            yield return new Problem("mqtt.caFile", "null", "a PEM file when mqtt.tls is true", "Give the broker's own CA; no other is trusted.");
        }

        if (mqtt is { Tls: false, CaFile: not null })
        {
            yield return new Problem("mqtt.tls", "false", "true when mqtt.caFile is given", "Say true, or take caFile out.");
        }

        if (mqtt is { User: not null, PasswordFile: null })
        {
            yield return new Problem("mqtt.passwordFile", "null", "a file when mqtt.user is given", "Put the password alone into a file that only the service may read.");
        }

        if (mqtt is { User: null, PasswordFile: not null })
        {
            yield return new Problem("mqtt.user", "null", "a name when mqtt.passwordFile is given", "Give the broker's name for the daemon: without it no password is sent.");
        }
    }

    /// <summary>The broker of the key "mqtt".</summary>
    public static MqttOptions Broker(BrokerOptions mqtt) => new()
    {
        Host = mqtt.Host,
        Port = mqtt.Port,
        User = mqtt.User,
        PasswordFile = mqtt.PasswordFile is { } password ? Places.Secret(password) : null,
        CaFile = mqtt is { Tls: true, CaFile: { } ca } ? Places.Secret(ca) : null,
        AskKeyFile = mqtt.AskKeyFile is { } askKey ? Places.Secret(askKey) : null,
    };

    /// <summary>Whom the log is told to.</summary>
    public static FollowerPlan Followers(MainConfiguration c) => new(
        c.Mqtt is { } mqtt ? Broker(mqtt) : null,
        c.Influx is not { } influx ? null : new InfluxOptions
        {
            Url = influx.Url,
            Organisation = influx.Organisation,
            Bucket = influx.Bucket,
            TokenFile = influx.TokenFile is { } token ? Places.Secret(token) : null,
            Version1 = influx.Version1,
        },
        EmbeddedBroker: false);

    private static MainReading Bad(Problem problem) => new(null, [], [problem]);
}
