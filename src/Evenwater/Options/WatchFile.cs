using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Evenwater.Core.Stations;

namespace Evenwater.Options;

/// <summary>The watcher's own file: which broker, which stations, how long a silence may last, what rings.</summary>
internal sealed record WatchConfiguration
{
    public required BrokerOptions Mqtt { get; init; }

    /// <summary>Names of stations; "+" is every one that the broker knows.</summary>
    public IReadOnlyList<string> Stations { get; init; } = ["+"];

    /// <summary>How long a daemon, or the broker, may be silent, min, 2 to 60. A daemon says once a minute that it is there.</summary>
    public double SilentMinutes { get; init; } = 10;

    /// <summary>A program by its full path, and its arguments: run without a shell when the broker is away for as long. Null: none.</summary>
    public IReadOnlyList<string>? Ring { get; init; }
}

/// <summary>Reads the watcher's file.</summary>
internal static class WatchFile
{
    private const string Readable = "a file that this user may read";
    private const UnixFileMode MayRun = UnixFileMode.UserExecute | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute;

    /// <summary>The configuration, or what is wrong with it.</summary>
    public static (WatchConfiguration? Configuration, IReadOnlyList<Problem> Problems) Read(string path)
    {
        byte[] text;
        try
        {
            text = File.ReadAllBytes(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return (null, [new Problem(path.Length == 0 ? "--config" : path, path.Length == 0 ? "empty" : "cannot be read", Readable, path.Length == 0 ? "Name it." : JsonText.Unreadable(path, e))]);
        }

        var (read, _, wrong) = JsonText.Read<WatchConfiguration>(text, MainConfiguration.Json, "the watcher's own file");
        return read is null ? (null, wrong) : (read, [.. Check(read)]);
    }

    private static IEnumerable<Problem> Check(WatchConfiguration c)
    {
        foreach (var problem in MainFile.CheckBroker(c.Mqtt))
        {
            yield return problem;
        }

        foreach (var problem in CheckSecrets(c.Mqtt))
        {
            yield return problem;
        }

        if (c.Mqtt.AskKeyFile is not null)
        {
            yield return new Problem("mqtt.askKeyFile", "given", "nothing", "A watcher opens nothing: take the key out, and keep it away from this computer.");
        }

        if (c.Stations.Count is 0 or > 32)
        {
            yield return new Problem("stations", $"{c.Stations.Count} names", "1 to 32 names, or [\"+\"] for every station", "Name what is to be watched.");
        }

        foreach (var (name, index) in c.Stations.Select((n, i) => (n, i)).Where(s => s.n != "+" && (s.n is null or "" || s.n.Any(ch => !(char.IsAsciiLetterLower(ch) || char.IsAsciiDigit(ch) || ch == '-')))))
        {
            yield return new Problem($"stations[{index}]", name is null ? "null" : $"\"{name}\"", "a station's name (a-z, 0-9 and -), or \"+\"", "Take it from the station file's name.");
        }

        if (c.SilentMinutes is not (>= 2 and <= 60))
        {
            yield return new Problem("silentMinutes", $"{c.SilentMinutes}", "2 to 60 min", "10 is a good start.");
        }

        if (c.Ring is { } ring && (ring.Count == 0 || ring.Any(word => word is null) || !Path.IsPathRooted(ring[0]) || !File.Exists(ring[0])))
        {
            yield return new Problem("ring", $"[{string.Join(", ", ring.Select(word => $"\"{word}\""))}]", "the full path of a program that is there, and its arguments, one each", "No shell reads it. Leave ring out when nothing is to ring.");
        }
        else if (c.Ring is [var program, ..] && (File.GetUnixFileMode(program) & MayRun) == 0)
        {
            yield return new Problem("ring", $"\"{program}\"", "a program that may be run", "Make it one (chmod +x), or name the program that is to run it first.");
        }
    }

    /// <summary>What the daemon can wait for, a watcher is nothing without: it would start, and end, again and again.</summary>
    private static IEnumerable<Problem> CheckSecrets(BrokerOptions mqtt)
    {
        if (mqtt.PasswordFile is { } password && Unread(password) is { } noPassword)
        {
            yield return new Problem("mqtt.passwordFile", password, Readable, noPassword);
        }

        if (mqtt.CaFile is { } authority && Unread(authority) is { } noAuthority)
        {
            yield return new Problem("mqtt.caFile", authority, Readable, noAuthority);
        }
        else if (mqtt.CaFile is { } certificate && !IsAuthority(Places.Secret(certificate)))
        {
            yield return new Problem("mqtt.caFile", certificate, "a PEM file with a certificate", "Give the broker's own CA.");
        }
    }

    private static string? Unread(string secret)
    {
        var file = Places.Secret(secret);
        try
        {
            using var opened = File.OpenRead(file);
            return null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return JsonText.Unreadable(file, e);
        }
    }

    private static bool IsAuthority(string file)
    {
        try
        {
            var read = new X509Certificate2Collection();
            read.ImportFromPemFile(file);
            return read.Count > 0;
        }
        catch (CryptographicException)
        {
            return false;
        }
    }
}
