using System.Net.Sockets;
using System.Text;
using System.Text.Json;

namespace Evenwater.Control;

/// <summary>Asks the running daemon one thing.</summary>
internal static class ControlClient
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(15);

    /// <summary>The daemon's answer, or null when none is running on this state folder.</summary>
    public static async Task<ControlAnswer?> AskAsync(string path, ControlAsk ask)
    {
        using var patience = new CancellationTokenSource(Patience);
        using var socket = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        try
        {
            await socket.ConnectAsync(new UnixDomainSocketEndPoint(path), patience.Token);
        }
        catch (SocketException e) when (e.SocketErrorCode == SocketError.AccessDenied)
        {
            return new ControlAnswer(false, $"{path} is not open to this user: ask as the user the daemon runs as, such as sudo -u evenwater.");
        }
        catch (SocketException)
        {
            return null;
        }

        await socket.SendAsync(Encoding.UTF8.GetBytes(JsonSerializer.Serialize(ask, ControlJson.Options) + "\n"), patience.Token);
        var text = new StringBuilder();
        var buffer = new byte[4096];
        for (int read; (read = await socket.ReceiveAsync(buffer, patience.Token)) > 0;)
        {
            text.Append(Encoding.UTF8.GetString(buffer, 0, read));
        }

        return JsonSerializer.Deserialize<ControlAnswer>(text.ToString(), ControlJson.Options);
    }
}
