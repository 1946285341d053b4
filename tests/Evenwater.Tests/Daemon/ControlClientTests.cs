using System.Net.Sockets;
using System.Reflection;
using System.Text;
using Evenwater.Control;
using Evenwater.Followers;
using Evenwater.Tests.Log;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Daemon;

public sealed class ControlClientTests
{
    [Theory]
    [InlineData(null)] // closes the door without having read
    [InlineData("")]
    [InlineData("{\"ok\":tr")]
    public async Task A_daemon_that_breaks_off_is_told_in_words_and_with_what_to_do_about_the_water(string? says)
    {
        using var folder = new LogFolder();
        var path = Path.Combine(folder.Path, "control.sock");
        using var door = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        door.Bind(new UnixDomainSocketEndPoint(path));
        door.Listen();
        var asking = ControlClient.AskAsync(path, new ControlAsk("close", "sim-river"));
        using (var peer = await door.AcceptAsync(TestContext.Current.CancellationToken))
        {
            if (says is not null)
            {
                await peer.ReceiveAsync(new byte[4096], TestContext.Current.CancellationToken);
                await peer.SendAsync(Encoding.UTF8.GetBytes(says), TestContext.Current.CancellationToken);
            }
        }

        var answer = await asking;
        Assert.NotNull(answer);
        Assert.False(answer.Ok);
        Assert.Contains("broke off before it had answered", answer.Text, StringComparison.Ordinal);
        Assert.Contains("close it by hand", answer.Text, StringComparison.Ordinal);
    }

    /// <summary>A start that fails lets go of its parts; the socket's own turn may come only after that. Its stack trace stood beside what a person is to read.</summary>
    [Fact]
    public async Task A_socket_that_is_let_go_before_its_turn_ends_in_silence()
    {
        using var folder = new LogFolder();
        var path = Path.Combine(folder.Path, "control.sock");
        var socket = new ControlSocket(path, _ => Task.FromResult(new ControlAnswer(true, "")), _ => { }, new AskLimit(TimeProvider.System), NullLogger<ControlSocket>.Instance);
        socket.Dispose();
        var turn = typeof(ControlSocket).GetMethod("ExecuteAsync", BindingFlags.Instance | BindingFlags.NonPublic)!;
        await (Task)turn.Invoke(socket, [new CancellationToken(canceled: true)])!;
        Assert.False(File.Exists(path));
    }

    /// <summary>sun_path holds 108 bytes (unix(7)): no daemon serves beyond, and who asks to close must not be shown a stack trace.</summary>
    [Fact]
    public async Task Where_the_path_is_too_long_for_a_socket_there_is_no_daemon() =>
        Assert.Null(await ControlClient.AskAsync(Path.Combine("/tmp", new string('x', 120), "control.sock"), new ControlAsk("close", "sim-river")));
}
