using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Text;
using Evenwater.Page.Access;
using Evenwater.Page.Frame;
using Evenwater.Page.Journal;
using Evenwater.Photographs;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Server.Kestrel.Core;

namespace Evenwater.Tests.Page.Access;

/// <summary>What the page takes of anybody at most: connections, heads, bodies, readings of the log.</summary>
public class BoundsTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task One_client_holds_a_dozen_connections_others_are_served_beside_it_and_a_place_that_is_left_is_given_again()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var held = new List<Socket>();
        for (var i = 0; i < PageListening.ConnectionsOfOne; i++) held.Add(await Served(page, "127.0.0.1") ?? throw new InvalidOperationException($"connection {i + 1} was not served"));
        Assert.Equal(12, held.Count);
        Assert.Null(await Served(page, "127.0.0.1"));
        (await Served(page, "127.0.0.2"))!.Dispose();
        held[3].Dispose();
        Socket? again = null;
        for (var i = 0; i < 200 && again is null; i++)
        {
            again = await Served(page, "127.0.0.1");
            if (again is null) await Task.Delay(20, Stop);
        }

        Assert.NotNull(again);
        again.Dispose();
        held.ForEach(socket => socket.Dispose());
    }

    [Fact]
    public async Task All_clients_together_hold_so_many_connections_and_no_more()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var held = new List<Socket>();
        for (var i = 0; i < PageListening.Connections; i++) held.Add(await Served(page, $"127.0.0.{1 + (i / 8)}") ?? throw new InvalidOperationException($"connection {i + 1} was not served"));
        Assert.Null(await Served(page, "127.0.0.9"));
        held.ForEach(socket => socket.Dispose());
    }

    [Theory]
    [InlineData(60, 10, 200)]
    [InlineData(70, 10, 431)] // RFC 6585, section 5
    [InlineData(20, 900, 431)]
    public async Task A_head_is_bounded_in_lines_and_bytes(int lines, int bytes, int status)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var head = string.Concat(Enumerable.Range(0, lines).Select(i => $"X-{i}: {new string('x', bytes)}\r\n"));
        using var socket = await Connect(page, "127.0.0.1");
        Assert.StartsWith($"HTTP/1.1 {status} ", await Ask(socket, page, head), StringComparison.Ordinal);
    }

    [Fact]
    public void A_head_that_does_not_end_and_a_connection_that_says_nothing_are_not_waited_for()
    {
        var server = new KestrelServerOptions();
        PageListening.Bound(server);
        Assert.InRange(server.Limits.RequestHeadersTimeout.TotalSeconds, 1, 10); // 30 where nobody says
        Assert.InRange(server.Limits.KeepAliveTimeout.TotalSeconds, 1, 30); // 130 where nobody says
    }

    /// <summary>Only addresses that take photographs take a body of that size, and none takes more.</summary>
    [Theory]
    [InlineData("/stations/sim-river/journal")]
    [InlineData("/stations/sim-river/journal/n1/photograph")]
    public async Task A_form_with_a_photograph_is_bounded_too(string path)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        Assert.Equal(HttpStatusCode.RequestEntityTooLarge, (await Send((int)TooLargePhotograph.MostBytes + 1)).StatusCode);

        // A photograph that is only too large to be taken is read to its end, since its form is shown again with what was typed.
        Assert.NotEqual(HttpStatusCode.RequestEntityTooLarge, (await Send(Darkroom.MostBytes + 40_000)).StatusCode);
        Assert.NotEqual(HttpStatusCode.RequestEntityTooLarge, (await Send(40_000)).StatusCode);

        async Task<HttpResponseMessage> Send(int bytes)
        {
            using var file = new ByteArrayContent(new byte[bytes]);
            file.Headers.ContentType = new MediaTypeHeaderValue("image/jpeg");
            using var form = new MultipartFormDataContent { { new StringContent(page.Token), PageToken.Field }, { file, "photograph", "x.jpg" } };
            using var request = new HttpRequestMessage(HttpMethod.Post, new Uri(path, UriKind.Relative)) { Content = form };
            request.Headers.ExpectContinue = true; // RFC 9110, 10.1.1: what is refused by its length is not sent at all
            return await page.Client.SendAsync(request, Stop);
        }
    }

    [Fact]
    public async Task The_log_is_read_by_one_at_a_time_a_few_wait_and_the_rest_come_again()
    {
        using var gate = new ReadingGate();
        var free = new TaskCompletionSource();
        var (now, most) = (0, 0);
        var readers = Enumerable.Range(0, 5).Select(_ => Read()).ToList(); // one reads, four wait
        var sentAway = new DefaultHttpContext();
        var refused = await gate.Read(sentAway, _ => Task.FromResult(Results.Ok())).WaitAsync(TimeSpan.FromSeconds(5), Stop);
        Assert.Equal(StatusCodes.Status503ServiceUnavailable, Assert.IsType<IStatusCodeHttpResult>(refused, exactMatch: false).StatusCode);
        Assert.Equal("5", sentAway.Response.Headers.RetryAfter);
        free.SetResult();
        Assert.All(await Task.WhenAll(readers), answer => Assert.IsType<Ok>(answer));
        Assert.Equal(1, most);

        Task<IResult> Read() => gate.Read(new DefaultHttpContext(), async _ =>
        {
            most = Math.Max(most, Interlocked.Increment(ref now));
            await free.Task;
            Interlocked.Decrement(ref now);
            return Results.Ok();
        });
    }

    /// <summary>A connection from an address of the loopback that has had its answer; null when it was closed instead.</summary>
    private static async Task<Socket?> Served(ServedPage page, string from)
    {
        var socket = await Connect(page, from);
        if ((await Ask(socket, page, "")).StartsWith("HTTP/1.1 200 ", StringComparison.Ordinal)) return socket;
        socket.Dispose();
        return null;
    }

    private static async Task<Socket> Connect(ServedPage page, string from)
    {
        var socket = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        socket.Bind(new IPEndPoint(IPAddress.Parse(from), 0));
        await socket.ConnectAsync(IPAddress.Loopback, page.Address.Port, Stop);
        return socket;
    }

    private static async Task<string> Ask(Socket socket, ServedPage page, string head)
    {
        var answer = new byte[16 * 1024];
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(Stop);
        patience.CancelAfter(TimeSpan.FromSeconds(20));
        try
        {
            await socket.SendAsync(Encoding.ASCII.GetBytes($"GET /healthz HTTP/1.1\r\nHost: 127.0.0.1:{page.Address.Port}\r\n{head}\r\n"), patience.Token);
            return Encoding.ASCII.GetString(answer, 0, await socket.ReceiveAsync(answer, patience.Token));
        }
        catch (SocketException)
        {
            return ""; // closed before it was read
        }
    }
}
