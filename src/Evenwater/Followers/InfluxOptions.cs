namespace Evenwater.Followers;

/// <summary>Where and how to send to InfluxDB.</summary>
internal sealed record InfluxOptions
{
    /// <summary>Such as http://192.168.1.20:8086.</summary>
    public required string Url { get; init; }

    /// <summary>2.x: the organisation. 1.x has none.</summary>
    public string Organisation { get; init; } = "-";

    /// <summary>2.x: the bucket. 1.x: database/retention policy.</summary>
    public required string Bucket { get; init; }

    /// <summary>File with the token; for 1.x user:password. Null when the server asks for none.</summary>
    public string? TokenFile { get; init; }

    /// <summary>Whether the server is a 1.x without the 2.x write path.</summary>
    public bool Version1 { get; init; }

    /// <summary>Entries sent at once, 1 to 5000.</summary>
    public int BatchEntries { get; init; } = 1000;

    /// <summary>
    /// How long after its acknowledgement a server may still lose something when it dies, s. Three times what was measured:
    /// victoria-metrics 1.79.5, killed, had lost up to 10.0 s of what it had acknowledged (5 kills; it writes every 5 s).
    /// </summary>
    public double SettleSeconds { get; init; } = 30;

    /// <summary>How long the alarm about single entries that were refused stands after the last, s.</summary>
    public double RefusedSeconds { get; init; } = 3600;

    /// <summary>How long an answer may take, s.</summary>
    public double AnswerSeconds { get; init; } = 15;

    /// <summary>Wait after the first failure, s; doubles with each one more.</summary>
    public double RetrySeconds { get; init; } = 1;

    /// <summary>Longest wait, s; a server that names a longer one (Retry-After) is waited for as long, up to an hour.</summary>
    public double LongestRetrySeconds { get; init; } = 300;
}
