using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;
using Microsoft.AspNetCore.Connections;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.AspNetCore.Server.Kestrel.Transport.Sockets;

namespace Evenwater.Page.Access;

/// <summary>How the server listens, and what it takes of anybody before a request is understood.</summary>
internal static class PageListening
{
    /// <summary>The largest body, bytes; a path that takes more says so itself.</summary>
    public const int BodyBytes = 16 * 1024;

    /// <summary>Connections at once.</summary>
    public const int Connections = 32;

    /// <summary>Connections of one client at once: two browsers' worth (six each for one host, from memory), so that one client never has all of them.</summary>
    public const int ConnectionsOfOne = 12;

    /// <summary>The longest address with its query, bytes. Our own choice: the longest of our own is a history of eight channels, far below.</summary>
    public const int AddressBytes = 4096;

    // Linux, in.h and in6.h.
    private const int Ipv4Level = 0;
    private const int Ipv4FreeBind = 15;
    private const int Ipv6Level = 41;
    private const int Ipv6FreeBind = 78;

    /// <summary>Bounds of the server, whatever it listens at.</summary>
    public static void Bound(KestrelServerOptions server)
    {
        server.AddServerHeader = false;
        server.Limits.MaxRequestBodySize = BodyBytes;
        server.Limits.MaxConcurrentConnections = Connections;
        server.Limits.RequestHeadersTimeout = TimeSpan.FromSeconds(10);
        server.Limits.KeepAliveTimeout = TimeSpan.FromSeconds(30);
        server.Limits.MaxRequestHeadersTotalSize = 16 * 1024;
        server.Limits.MaxRequestHeaderCount = 64;
    }

    /// <summary>Listens at every address of the door.</summary>
    public static void Listen(KestrelServerOptions server, PageDoor door)
    {
        var open = new ConcurrentDictionary<string, int>(StringComparer.Ordinal);
        foreach (var address in door.Addresses)
        {
            server.Listen(address, door.Port, at =>
            {
                // One protocol: what flows over it is bounded by its connections.
                at.Protocols = HttpProtocols.Http1;
                at.Use(next => connection => Count(connection, next, open));
                if (door.Certificate is { } certificate)
                {
                    at.UseHttps(https =>
                    {
                        https.ServerCertificate = certificate;
                        https.ServerCertificateChain = door.Chain;
                        https.HandshakeTimeout = TimeSpan.FromSeconds(10);
                    });
                }
            });
        }
    }

    /// <summary>
    /// A socket for an address that this computer may not have yet: at a cold start the network comes later, and control waits for none (ip(7), IP_FREEBIND; ipv6(7),
    /// IPV6_FREEBIND).
    /// </summary>
    public static Socket Bound(EndPoint at)
    {
        if (at is not IPEndPoint { Address: var address } || IPAddress.IsLoopback(address))
        {
            return SocketTransportOptions.CreateDefaultBoundListenSocket(at);
        }

        var six = address.AddressFamily == AddressFamily.InterNetworkV6;
        var socket = new Socket(address.AddressFamily, SocketType.Stream, ProtocolType.Tcp);
        try
        {
            if (six) socket.DualMode = address.Equals(IPAddress.IPv6Any);
            socket.SetRawSocketOption(six ? Ipv6Level : Ipv4Level, six ? Ipv6FreeBind : Ipv4FreeBind, BitConverter.GetBytes(1));
            socket.Bind(at);
            return socket;
        }
        catch
        {
            socket.Dispose();
            throw;
        }
    }

    /// <summary>Whether somebody else listens where the door is.</summary>
    public static bool IsTaken(PageDoor door)
    {
        try
        {
            foreach (var address in door.Addresses)
            {
                Bound(new IPEndPoint(address, door.Port)).Dispose();
            }

            return false;
        }
        catch (SocketException e) when (e.SocketErrorCode == SocketError.AddressAlreadyInUse)
        {
            return true;
        }
    }

    private static async Task Count(ConnectionContext connection, ConnectionDelegate next, ConcurrentDictionary<string, int> open)
    {
        var client = Client.Of((connection.RemoteEndPoint as IPEndPoint)?.Address);
        try
        {
            if (open.AddOrUpdate(client, 1, (_, count) => count + 1) <= ConnectionsOfOne)
            {
                await next(connection);
            }
        }
        finally
        {
            if (open.AddOrUpdate(client, 0, (_, count) => count - 1) == 0)
            {
                open.TryRemove(new(client, 0));
            }
        }
    }
}
