using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;

namespace Evenwater.Options;

/// <summary>The daemon's own file: which stations, and who follows.</summary>
internal sealed record MainConfiguration
{
    public static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.General)
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        ReadCommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
        RespectNullableAnnotations = true,
        AllowDuplicateProperties = false,
        TypeInfoResolver = new DefaultJsonTypeInfoResolver(),
    };

    /// <summary>Station files, relative to this file.</summary>
    public required IReadOnlyList<string> Stations { get; init; }

    public StoreOptions Store { get; init; } = new();

    public BrokerOptions? Mqtt { get; init; }

    public DatabaseOptions? Influx { get; init; }

    public PageOptions? Page { get; init; } = new();
}

internal sealed record StoreOptions
{
    /// <summary>Readings are committed together this often, 0.1 to 600 s.</summary>
    public double BatchSeconds { get; init; } = 5;

    /// <summary>What the log may take on the disk, 50 to 100 000 MB; then its oldest raw readings go, and their summaries and all events stay.</summary>
    public double BudgetMegabytes { get; init; } = 1000;
}

internal sealed record BrokerOptions
{
    public required string Host { get; init; }

    public int Port { get; init; } = 1883;

    public string? User { get; init; }

    /// <summary>A file that holds the password alone; relative names are looked up in the credentials folder.</summary>
    public string? PasswordFile { get; init; }

    public string? CaFile { get; init; }

    /// <summary>A file of 64 hexadecimal digits: the key that openings and resets over MQTT are signed with. Without it they are refused.</summary>
    public string? AskKeyFile { get; init; }

    public bool Tls { get; init; }
}

internal sealed record DatabaseOptions
{
    public required string Url { get; init; }

    public string Organisation { get; init; } = "-";

    public required string Bucket { get; init; }

    public string? TokenFile { get; init; }

    /// <summary>True for a 1.x server: bucket is then database/retention.</summary>
    public bool Version1 { get; init; }
}
