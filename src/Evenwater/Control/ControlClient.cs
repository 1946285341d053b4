using System.Net.Sockets;
using System.Text;
using System.Text.Json;

namespace Evenwater.Control;

/// <summary>Asks the running daemon one thing.</summary>
internal static class ControlClient
{
    private const string ByHand = "If water is running that should not, close it by hand: pull the valve's plug or lift the intake.";

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(15);

    /// <summary>The daemon's answer, or null when none is running on this state folder.</summary>
    public static async Task<ControlAnswer?> AskAsync(string path, ControlAsk ask)
    {
        // Made before the daemon listens: it waits a short while only, and the first line of a program is made slowly on a busy computer.
        var line = Encoding.UTF8.GetBytes(JsonSerializer.Serialize(ask, ControlJson.Options) + "\n");
        using var patience = new CancellationTokenSource(Patience);
        using var socket = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        try
        {
            await ConnectAsync(socket, new UnixDomainSocketEndPoint(path), patience.Token);
        }
        catch (OperationCanceledException)
        {
            return new ControlAnswer(false, $"The daemon at {path} lets nobody in: too many ask it at once, or it stands still. Nothing was asked. Ask again. {ByHand}");
        }
        catch (SocketException e) when (e.SocketErrorCode == SocketError.AccessDenied)
        {
            return new ControlAnswer(false, $"{path} is not open to this user: ask as the user the daemon runs as, such as sudo -u evenwater.");
        }
        catch (Exception e) when (e is SocketException or ArgumentOutOfRangeException)
        {
            return null; // where the path is too long for a socket no daemon serves
        }

        try
        {
            return await AnswerAsync(socket, line, patience.Token);
        }
        catch (Exception e) when (e is IOException or JsonException or OperationCanceledException)
        {
            return new ControlAnswer(false, $"The daemon at {path} broke off before it had answered: whether it did what was asked is not known. Ask again. {ByHand}");
        }
    }

    /// <summary>A door that is full refuses at once (connect(2), EAGAIN on a Unix domain socket).</summary>
    private static async Task ConnectAsync(Socket socket, UnixDomainSocketEndPoint door, CancellationToken stop)
    {
        while (true)
        {
            try
            {
                await socket.ConnectAsync(door, stop);
                return;
            }
            catch (SocketException e) when (e.SocketErrorCode == SocketError.WouldBlock)
            {
                await Task.Delay(50, stop);
            }
        }
    }

    private static async Task<ControlAnswer?> AnswerAsync(Socket socket, byte[] line, CancellationToken stop)
    {
        await using var stream = new NetworkStream(socket);
        await stream.WriteAsync(line, stop);
        return await JsonSerializer.DeserializeAsync<ControlAnswer>(stream, ControlJson.Options, stop);
    }
}
