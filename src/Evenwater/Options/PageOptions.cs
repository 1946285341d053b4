namespace Evenwater.Options;

/// <summary>The key "page": where the page answers, and to whom.</summary>
internal sealed record PageOptions
{
    /// <summary>1 to 65535, the same at every address.</summary>
    public int Port { get; init; } = 8480;

    /// <summary>Addresses to listen at, 1 to 8, by number. Beyond this computer a password and hosts are asked for.</summary>
    public IReadOnlyList<string> Listen { get; init; } = ["127.0.0.1"];

    /// <summary>The names and addresses by which browsers may call it, without a port, at most 16. At the loopback its own names are always good.</summary>
    public IReadOnlyList<string> Hosts { get; init; } = [];

    /// <summary>A file with the password's hash, as `evenwater password` writes it; never the password. Null: none is asked for.</summary>
    public string? PasswordFile { get; init; }

    /// <summary>A certificate with its chain, PEM; with keyFile the page is encrypted.</summary>
    public string? CertificateFile { get; init; }

    /// <summary>The certificate's private key, PEM without a passphrase.</summary>
    public string? KeyFile { get; init; }

    /// <summary>A file with the token by which a collector may read /metrics without signing in.</summary>
    public string? MetricsTokenFile { get; init; }
}
