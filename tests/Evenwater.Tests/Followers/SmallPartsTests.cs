using System.Net;
using Evenwater.Followers;

namespace Evenwater.Tests.Followers;

public sealed class SmallPartsTests
{
    [Fact]
    public void Waits_double_up_to_the_longest_with_jitter_and_start_over_after_success()
    {
        var backoff = new Backoff(TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(10));
        foreach (var whole in new double[] { 1, 2, 4, 8, 10, 10 })
        {
            Assert.InRange(backoff.Next().TotalSeconds, whole / 2, whole);
        }

        backoff.Reset();
        Assert.InRange(backoff.Next().TotalSeconds, 0.5, 1);
        var many = Enumerable.Range(0, 50).Select(_ => new Backoff(TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(10)).Next()).Distinct();
        Assert.True(many.Count() > 40, "no jitter");
    }

    /// <summary>Else nobody would see for weeks that the database gets nothing.</summary>
    [Fact]
    public async Task A_follower_that_breaks_off_is_begun_anew()
    {
        var begun = 0;
        await FollowerWorker.KeepAsync(
            _ => ++begun < 3 ? throw new IOException("the card fails for a moment") : Task.CompletedTask,
            TimeSpan.FromMilliseconds(5), Microsoft.Extensions.Logging.Abstractions.NullLogger.Instance, TestContext.Current.CancellationToken);
        Assert.Equal(3, begun);
    }

    [Theory]
    [InlineData("/api/v2/write?org=-&bucket=tank%2fautogen&precision=ns", "/write?db=tank&rp=autogen&precision=ns")]
    [InlineData("/api/v2/write?bucket=tank&org=-&precision=ms", "/write?db=tank&precision=ms")]
    [InlineData("/ping", "/ping")]
    public async Task Writes_for_a_1_x_server_go_to_its_own_path(string asked, string sent)
    {
        using var seen = new Seen();
        using var handler = new InfluxV1Handler(seen);
        using var http = new HttpClient(handler);
        await http.GetAsync(new Uri("http://127.0.0.1:8086" + asked), TestContext.Current.CancellationToken);
        Assert.Equal(sent, seen.Uri!.PathAndQuery);
    }

    [Fact]
    public async Task A_1_x_server_is_told_user_and_password_as_every_1_x_understands_it()
    {
        using var seen = new Seen();
        using var handler = new InfluxV1Handler(seen);
        using var http = new HttpClient(handler);
        http.DefaultRequestHeaders.Authorization = new("Token", "Aladdin:open sesame");
        await http.GetAsync(new Uri("http://127.0.0.1:8086/api/v2/write?bucket=tank"), TestContext.Current.CancellationToken);
        Assert.Equal("Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ==", seen.Authorization); // RFC 7617, section 2
    }

    [Fact]
    public void A_session_that_ends_before_the_will_is_refused()
    {
        var options = new MqttOptions { WillDelaySeconds = 60, SessionExpirySeconds = 60 };
        var e = Assert.Throws<InvalidOperationException>(() => options.Build("c", new MQTTnet.MqttApplicationMessage()));
        Assert.Contains("mqtt.sessionExpirySeconds is 60", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_channel_has_a_name_for_others()
    {
        var names = Enum.GetValues<Core.Channel>().Select(SiChannel.Of).ToList();
        Assert.Equal(Core.Channels.Count, names.Select(n => n.Name).Distinct().Count());
        Assert.Equal(Core.Channels.Count, names.Select(n => n.Field).Distinct().Count());
        Assert.All(Enum.GetValues<Core.Channel>(), c => Assert.Equal(Core.Channels.IsSwitch(c), SiChannel.Of(c).Unit is null));
    }

    private sealed class Seen : HttpMessageHandler
    {
        public Uri? Uri { get; private set; }

        public string? Authorization { get; private set; }

        protected override Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
        {
            Uri = request.RequestUri;
            Authorization = request.Headers.Authorization?.ToString();
            return Task.FromResult(new HttpResponseMessage(HttpStatusCode.OK));
        }
    }
}
