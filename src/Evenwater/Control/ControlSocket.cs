using System.Net.Sockets;
using System.Text;
using System.Text.Json;
using Evenwater.Followers;

namespace Evenwater.Control;

/// <summary>
/// The daemon's own socket: one line asked, one line answered. The file's permissions (owner only) are its guard, so who can
/// write there may open the valve. Bad lines are answered, kept in the log, never obeyed and never harmful.
/// </summary>
/// <param name="path">Where it is.</param>
/// <param name="obey">Does what was asked.</param>
/// <param name="refused">Keeps why a line was not understood.</param>
/// <param name="limit">Holds back a flood of such lines, that the log does not grow with it; each is answered all the same.</param>
/// <param name="logger">Told of askers that were given up.</param>
internal sealed class ControlSocket(
    string path, Func<ControlAsk, Task<ControlAnswer>> obey, Action<string> refused, AskLimit limit, ILogger<ControlSocket> logger) : BackgroundService
{
    private const int MostWaiting = 8;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);

    /// <summary>A line is short and its asker is on this computer: who says nothing for this long is let go.</summary>
    private static readonly TimeSpan ReadingPatience = TimeSpan.FromSeconds(2);

    private readonly SemaphoreSlim _places = new(MostWaiting);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        File.Delete(path);
        using var listener = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        listener.Bind(new UnixDomainSocketEndPoint(path));
        File.SetUnixFileMode(path, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        listener.Listen(MostWaiting);
        try
        {
            while (true)
            {
                // Side by side, so that one who says nothing holds up nobody; a few at a time, so that many who say nothing do no harm.
                await _places.WaitAsync(stoppingToken);
                _ = AnswerAsync(await listener.AcceptAsync(stoppingToken), stoppingToken);
            }
        }
        catch (Exception e) when (e is OperationCanceledException or ObjectDisposedException && stoppingToken.IsCancellationRequested)
        {
            // A start that fails lets its parts go at once, and on a busy computer this one may get its turn only then.
            Remove();
        }
    }

    private void Remove()
    {
        try
        {
            File.Delete(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // On a card that has turned read-only it stays; the next start takes it away.
        }
    }

    public override void Dispose()
    {
        base.Dispose();
        _places.Dispose();
    }

    private async Task AnswerAsync(Socket asker, CancellationToken stop)
    {
        using var peer = asker;
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(stop);
        patience.CancelAfter(Patience);
        await Task.Yield(); // where its line is there already, all until its answer would be the door's time, and a close waits behind it
        try
        {
            using var reading = CancellationTokenSource.CreateLinkedTokenSource(stop);
            reading.CancelAfter(ReadingPatience);
            var line = await ReadLineAsync(peer, reading.Token);
            var answer = line is null
                ? Refused($"a line of at most {ControlJson.MostBytes} bytes is read.")
                : await ObeyAsync(line, peer);
            await peer.SendAsync(Encoding.UTF8.GetBytes(JsonSerializer.Serialize(answer, ControlJson.Options) + "\n"), patience.Token);
        }
        catch (Exception e)
        {
            // Whatever it was, it was one asker's; the daemon goes on.
            if (!stop.IsCancellationRequested)
            {
                logger.LogWarning("A command over the socket was given up: {Why}", e.Message);
            }
        }
        finally
        {
            Leave();
        }
    }

    private void Leave()
    {
        try
        {
            _places.Release();
        }
        catch (ObjectDisposedException)
        {
            // The daemon has stopped meanwhile.
        }
    }

    private async Task<ControlAnswer> ObeyAsync(string line, Socket peer)
    {
        try
        {
            if (JsonSerializer.Deserialize<ControlAsk>(line, ControlJson.Options) is not { } ask)
            {
                return Refused("the line is empty; send one JSON object with verb and station.");
            }

            if (ask.Verb != "close")
            {
                // A program that stood still would open for somebody who was told so and has gone: to whom not even nothing can be sent.
                _ = peer.Send(ReadOnlySpan<byte>.Empty);
            }

            var answer = await obey(ask);
            if (answer.NotUnderstood)
            {
                Keep(answer.Text);
            }

            return answer;
        }
        catch (JsonException e)
        {
            return Refused(e.Message);
        }
    }

    private ControlAnswer Refused(string why)
    {
        Keep(why);
        return new ControlAnswer(false, $"Refused: {why}");
    }

    private void Keep(string why)
    {
        lock (limit)
        {
            if (limit.Hears(out _))
            {
                refused($"Over the socket: {why}");
            }
            else if (limit.Dropped == 1)
            {
                refused("Over the socket: too many lines that are no commands; further ones are answered, but not kept, until none has come for a while.");
            }
        }
    }

    private static async Task<string?> ReadLineAsync(Socket peer, CancellationToken stop)
    {
        var buffer = new byte[ControlJson.MostBytes];
        var used = 0;
        while (used < buffer.Length)
        {
            var read = await peer.ReceiveAsync(buffer.AsMemory(used), stop);
            var end = Array.IndexOf(buffer, (byte)'\n', used, read);
            used += read;
            if (end >= 0 || read == 0)
            {
                return Encoding.UTF8.GetString(buffer, 0, end >= 0 ? end : used);
            }
        }

        // Read on to the end, within patience: a line closed in its middle would lose the answer with it.
        for (var more = 0; more < 64 && Array.IndexOf(buffer, (byte)'\n') < 0; more++)
        {
            if (await peer.ReceiveAsync(buffer, stop) == 0)
            {
                break;
            }
        }

        return null;
    }
}
