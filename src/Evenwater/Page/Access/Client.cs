using System.Net;
using System.Net.Sockets;

namespace Evenwater.Page.Access;

/// <summary>Who asks, as far as limits go: an IPv4 address, or the 64 leading bits of an IPv6 address, since one computer has as many of the rest as it likes.</summary>
internal static class Client
{
    private const int PrefixBytes = 8;

    /// <summary>Its name in limits and in the log; the same for all that have no address (a socket file).</summary>
    public static string Of(IPAddress? address)
    {
        if (address is null)
        {
            return "local";
        }

        if (address.IsIPv4MappedToIPv6)
        {
            return address.MapToIPv4().ToString();
        }

        if (address.AddressFamily != AddressFamily.InterNetworkV6 || IPAddress.IsLoopback(address))
        {
            return address.ToString();
        }

        var bytes = address.GetAddressBytes();
        bytes.AsSpan(PrefixBytes).Clear();
        return $"{new IPAddress(bytes)}/64";
    }
}
