using System.Net.Sockets;
using System.Reflection;
using System.Text;
using Evenwater.Control;
using Evenwater.Followers;
using Evenwater.Tests.Followers;
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

    /// <summary>A card that has turned read-only, or whose folder is gone: a daemon that is stopped then has stopped, and not failed, for which the service manager would call somebody.</summary>
    [Fact]
    public async Task A_socket_whose_folder_is_gone_stops_in_silence()
    {
        using var folder = new LogFolder();
        var below = Directory.CreateDirectory(Path.Combine(folder.Path, "below")).FullName;
        var path = Path.Combine(below, "control.sock");
        using var socket = new ControlSocket(path, _ => Task.FromResult(new ControlAnswer(true, "")), _ => { }, new AskLimit(TimeProvider.System), NullLogger<ControlSocket>.Instance);
        await socket.StartAsync(TestContext.Current.CancellationToken);
        await Following.Until(() => File.Exists(path) && File.GetUnixFileMode(path) == (UnixFileMode.UserRead | UnixFileMode.UserWrite));
        Directory.Delete(below, recursive: true);
        await socket.StopAsync(TestContext.Current.CancellationToken);
        await socket.ExecuteTask!;
    }

    /// <summary>The daemon stood still, and who asked was told so and went away: when it went on it opened a valve that nobody stood beside any more. A close is obeyed however late it is.</summary>
    [Fact]
    public async Task What_is_read_when_its_asker_has_gone_is_not_done_unless_it_closes()
    {
        using var folder = new LogFolder();
        var path = Path.Combine(folder.Path, "control.sock");
        var (obeyed, still) = (new System.Collections.Concurrent.ConcurrentQueue<string>(), new TaskCompletionSource());
        using var socket = new ControlSocket(
            path,
            async ask =>
            {
                obeyed.Enqueue(ask.Verb);
                await still.Task;
                return new ControlAnswer(true, "done");
            },
            _ => { }, new AskLimit(TimeProvider.System), NullLogger<ControlSocket>.Instance);
        await socket.StartAsync(TestContext.Current.CancellationToken);
        await Following.Until(() => File.Exists(path) && File.GetUnixFileMode(path) == (UnixFileMode.UserRead | UnixFileMode.UserWrite));
        var held = Enumerable.Range(0, 8).Select(_ => ControlClient.AskAsync(path, new ControlAsk("status"))).ToArray(); // as many as are answered side by side
        await Following.Until(() => obeyed.Count == held.Length);
        foreach (var verb in new[] { "begin", "close" })
        {
            using var asker = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
            await asker.ConnectAsync(new UnixDomainSocketEndPoint(path), TestContext.Current.CancellationToken);
            await asker.SendAsync(Encoding.UTF8.GetBytes($"{{\"verb\":\"{verb}\"}}\n"), TestContext.Current.CancellationToken);
        }

        still.SetResult();
        Assert.All(await Task.WhenAll(held), answer => Assert.Equal("done", answer?.Text));
        Assert.Equal("done", (await ControlClient.AskAsync(path, new ControlAsk("finish")))?.Text);
        await Following.Until(() => obeyed.Contains("close"));
        Assert.Equal(["close", "finish"], obeyed.Skip(held.Length).Order());
        await socket.StopAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>sun_path holds 108 bytes (unix(7)): no daemon serves beyond, and who asks to close must not be shown a stack trace.</summary>
    [Fact]
    public async Task Where_the_path_is_too_long_for_a_socket_there_is_no_daemon() =>
        Assert.Null(await ControlClient.AskAsync(Path.Combine("/tmp", new string('x', 120), "control.sock"), new ControlAsk("close", "sim-river")));

    /// <summary>More askers at one moment than the daemon's door holds: it was told that there is no daemon.</summary>
    [Fact]
    public async Task Who_finds_the_daemons_door_full_waits_for_his_turn()
    {
        using var folder = new LogFolder();
        var path = Path.Combine(folder.Path, "control.sock");
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(10));
        var stop = patience.Token;
        using var door = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        door.Bind(new UnixDomainSocketEndPoint(path));
        door.Listen(1);
        var asking = Enumerable.Range(0, 5).Select(_ => ControlClient.AskAsync(path, new ControlAsk("close"))).ToArray();
        await Task.Delay(100, stop);
        foreach (var _ in asking)
        {
            using var peer = await door.AcceptAsync(stop);
            await peer.ReceiveAsync(new byte[4096], stop);
            await peer.SendAsync("{\"ok\":true,\"text\":\"closed\"}\n"u8.ToArray(), stop);
        }

        Assert.All(await Task.WhenAll(asking), answer => Assert.Equal("closed", answer?.Text));
    }

    /// <summary>The log's figures are read at once, which takes a large log on a slow card seconds; whose line is there already when its turn comes held the door meanwhile.</summary>
    [Fact]
    public async Task One_whose_answer_takes_its_time_holds_up_no_close()
    {
        using var folder = new LogFolder();
        var path = Path.Combine(folder.Path, "control.sock");
        using var closed = new ManualResetEventSlim();
        var (waiting, stop) = (new System.Collections.Concurrent.ConcurrentQueue<TaskCompletionSource<ControlAnswer>>(), TestContext.Current.CancellationToken);
        using var socket = new ControlSocket(path, Obey, _ => { }, new AskLimit(TimeProvider.System), NullLogger<ControlSocket>.Instance);
        await socket.StartAsync(stop);
        await Following.Until(() => File.Exists(path) && File.GetUnixFileMode(path) == (UnixFileMode.UserRead | UnixFileMode.UserWrite));
        var others = Enumerable.Range(0, 8).Select(_ => ControlClient.AskAsync(path, new ControlAsk("release"))).ToList();
        await Following.Until(() => waiting.Count == 8);
        using var slow = await SentAsync("log");
        using var close = await SentAsync("close");
        foreach (var one in waiting)
        {
            one.SetResult(new ControlAnswer(true, ""));
        }

        await Task.WhenAll(others);
        Assert.Contains("closed meanwhile: True", await HeardAsync(slow), StringComparison.Ordinal);
        await socket.StopAsync(stop);

        Task<ControlAnswer> Obey(ControlAsk ask)
        {
            if (ask.Verb == "log")
            {
                return Task.FromResult(new ControlAnswer(true, $"closed meanwhile: {closed.Wait(TimeSpan.FromSeconds(2), stop)}"));
            }

            if (ask.Verb == "close")
            {
                closed.Set();
                return Task.FromResult(new ControlAnswer(true, ""));
            }

            var own = new TaskCompletionSource<ControlAnswer>(TaskCreationOptions.RunContinuationsAsynchronously);
            waiting.Enqueue(own);
            return own.Task;
        }

        async Task<Socket> SentAsync(string verb)
        {
            var asker = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
            await asker.ConnectAsync(new UnixDomainSocketEndPoint(path), stop);
            await asker.SendAsync(Encoding.UTF8.GetBytes($"{{\"verb\":\"{verb}\"}}\n"), stop);
            return asker;
        }

        async Task<string> HeardAsync(Socket asker)
        {
            var buffer = new byte[4096];
            return Encoding.UTF8.GetString(buffer, 0, await asker.ReceiveAsync(buffer, stop));
        }
    }
}
