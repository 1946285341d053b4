using System.Diagnostics;

namespace Evenwater.Tests.Servers;

/// <summary>
/// A network namespace of its own at the end of a wire that can be cut: what is sent over it then is lost in silence, as by a firewall's DROP; no reset, no
/// error. Cut by a neighbour entry that names nobody's hardware address, at either end, which takes no more than iproute2 and a kernel with veth.
/// </summary>
internal sealed class Wire : IDisposable
{
    private const string Nobody = "02:00:00:00:00:99";

    // From 198.18.0.0/15, which RFC 2544 keeps for tests of networks.
    private readonly string _here = $"198.18.{Environment.ProcessId % 200}.1";

    private Wire()
    {
    }

    public string Name { get; } = $"ew{Environment.ProcessId % 100_000}";

    /// <summary>The address at the far end.</summary>
    public string There => _here[..^1] + "2";

    private string Outer => Name + "a";

    private string Inner => Name + "b";

    /// <summary>Lays a wire, or tells why that is not possible here.</summary>
    public static (Wire? Wire, string? Why) Lay()
    {
        var wire = new Wire();
        string[] steps =
        [
            $"netns add {wire.Name}",
            $"link add {wire.Outer} type veth peer name {wire.Inner}",
            $"link set {wire.Inner} netns {wire.Name}",
            $"address add {wire._here}/30 dev {wire.Outer}",
            $"link set {wire.Outer} up",
            $"-n {wire.Name} address add {wire.There}/30 dev {wire.Inner}",
            $"-n {wire.Name} link set {wire.Inner} up",
        ];
        foreach (var step in steps)
        {
            if (Ip(step) is { } why)
            {
                wire.Dispose();
                return (null, $"no network namespace with a wire can be made here (ip {step}: {why})");
            }
        }

        return (wire, null);
    }

    public void Cut()
    {
        Assert.Null(Ip($"neighbour replace {There} lladdr {Nobody} dev {Outer} nud permanent"));
        Assert.Null(Ip($"-n {Name} neighbour replace {_here} lladdr {Nobody} dev {Inner} nud permanent"));
    }

    public void Mend()
    {
        Assert.Null(Ip($"neighbour del {There} dev {Outer}"));
        Assert.Null(Ip($"-n {Name} neighbour del {_here} dev {Inner}"));
    }

    public void Dispose()
    {
        _ = Ip($"link del {Outer}");
        _ = Ip($"netns del {Name}");
    }

    private static string? Ip(string arguments)
    {
        using var ip = Process.Start(new ProcessStartInfo(ServerProcess.Find("ip", "iproute2"), arguments) { RedirectStandardError = true })!;
        var said = ip.StandardError.ReadToEnd().Trim();
        ip.WaitForExit();
        return ip.ExitCode == 0 ? null : said;
    }
}
