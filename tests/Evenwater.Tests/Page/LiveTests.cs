using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using Evenwater.Page;
using Evenwater.Page.Live;

namespace Evenwater.Tests.Page;

/// <summary>The stream of live values, as a program reads it.</summary>
public class LiveTests
{
    private const string River = "/api/v1/stations/sim-river/live";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory] // at 60 times life a second without a word is a minute of the station's, and no value is stale for that; two are overdue
    [InlineData("sim-river", 0.9, 0.9)]
    [InlineData("sim-river", 2.5, 150)]
    [InlineData("river", 0.9, 0.9)]
    [InlineData("river", 2.5, 2.5)]
    public void Between_two_words_of_a_fast_station_its_values_do_not_run_ahead(string name, double silentSeconds, double olderBySeconds)
    {
        var view = MadeUp.Night(5.2, name);
        Assert.Equal(
            view.Values.Select(value => value.AgeSeconds + olderBySeconds),
            new Told(new Posted(view, silentSeconds)).Values.Select(value => value.AgeSeconds));
    }

    [Fact]
    public async Task Each_event_is_whole_has_a_number_and_comes_also_when_nothing_has_changed()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(5.2));
        using var stream = await StreamReader(page, River);
        var first = await Event(stream);
        page.Time.Pass(4);
        var second = await Event(stream);
        page.Board.Post(MadeUp.CannotTell());
        var third = await Event(stream);

        Assert.Equal(("1", "1", "2"), (first.Id, second.Id, third.Id));
        Assert.Equal("Steady", first.Data.GetProperty("word").GetString());
        Assert.Equal("Can't tell", third.Data.GetProperty("word").GetString());
        Assert.Equal(first.Data.GetProperty("shape").GetString(), second.Data.GetProperty("shape").GetString());
        Assert.NotEqual(first.Data.GetProperty("shape").GetString(), third.Data.GetProperty("shape").GetString());
        var value = second.Data.GetProperty("values")[0];
        Assert.Equal(("Vessel conductivity", "242", "µS/cm at 25 °C"), (value.GetProperty("label").GetString(), value.GetProperty("shown").GetString(), value.GetProperty("unit").GetString()));
        Assert.Equal(2 + (4 * 60), value.GetProperty("ageSeconds").GetDouble()); // 4 s of silence at 60 times life
    }

    /// <summary>A real clock tells one instant by parts of a millisecond otherwise each second; what is shown are minutes.</summary>
    [Fact]
    public void A_page_with_an_alarm_is_not_drawn_anew_each_second_for_a_time_that_reads_the_same()
    {
        string Shape(double later, Func<AlarmLine, TimeSpan, AlarmLine>? of = null)
        {
            var (view, by) = (MadeUp.Alarm(), TimeSpan.FromSeconds(later));
            return new Told(new Posted(of is null ? view with { ByWhen = view.ByWhen + by } : view with { Alarms = [.. view.Alarms.Select(alarm => of(alarm, by))] }, 0)).Shape;
        }

        Func<AlarmLine, TimeSpan, AlarmLine>?[] times =
        [
            null, (alarm, by) => alarm with { ByWhen = MadeUp.Alarm().Now + by }, (alarm, by) => alarm with { Since = MadeUp.Alarm().Now + by }, (alarm, by) => alarm with { ShelvedUntil = MadeUp.Alarm().Now + by },
        ];
        Assert.All(times, of => Assert.Equal(Shape(0, of), Shape(0.0004, of)));
        Assert.All(times, of => Assert.NotEqual(Shape(0, of), Shape(60, of)));
    }

    [Fact]
    public async Task All_stations_are_followed_in_one_stream_most_urgent_first()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1, "goby"), MadeUp.Alarm());
        using var stream = await StreamReader(page, "/api/v1/live");
        var stations = (await Event(stream)).Data.GetProperty("stations");
        Assert.Equal(["sim-river", "goby"], stations.EnumerateArray().Select(s => s.GetProperty("station").GetString()));
        Assert.False(stations[0].TryGetProperty("values", out _));
    }

    [Fact]
    public async Task Too_many_listeners_are_told_to_come_again_and_who_leaves_makes_room()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        using var another = From(IPAddress.Parse("127.0.0.2"), page);
        var streams = new List<StreamReader>();
        for (var i = 0; i < Listeners.Most / 2; i++) streams.Add(await StreamReader(page.Client, River));

        // Twelve connections are one client's (config/README.md); those that are left are for the page, and for closing.
        using (var refused = await page.Client.GetAsync(new Uri(River, UriKind.Relative), HttpCompletionOption.ResponseHeadersRead, Stop))
        using (var closed = await page.Client.PostAsync(new Uri("/api/v1/stations/sim-river/close", UriKind.Relative), null, Stop))
        {
            Assert.Equal((HttpStatusCode.ServiceUnavailable, HttpStatusCode.OK), (refused.StatusCode, closed.StatusCode));
        }

        for (var i = 0; i < Listeners.Most / 2; i++) streams.Add(await StreamReader(another, River));
        using (var refused = await page.Client.GetAsync(new Uri(River, UriKind.Relative), HttpCompletionOption.ResponseHeadersRead, Stop))
        {
            Assert.Equal(HttpStatusCode.ServiceUnavailable, refused.StatusCode);
            Assert.Equal(TimeSpan.FromSeconds(5), refused.Headers.RetryAfter!.Delta);
        }

        streams[3].Dispose();
        for (var i = 0; i < 100; i++)
        {
            using var again = await page.Client.GetAsync(new Uri(River, UriKind.Relative), HttpCompletionOption.ResponseHeadersRead, Stop);
            if (again.IsSuccessStatusCode) break;
            Assert.True(i < 99, "the place of the one that left was never given again");
            await Task.Delay(150, Stop);
        }

        streams.ForEach(stream => stream.Dispose());
    }

    [Fact]
    public async Task The_stream_ends_with_the_program_and_an_unknown_station_has_none()
    {
        var page = await ServedPage.StartAsync(MadeUp.Night(1));
        Assert.Equal(HttpStatusCode.NotFound, (await page.Client.GetAsync(new Uri("/api/v1/stations/nobody/live", UriKind.Relative), Stop)).StatusCode);
        using var stream = await StreamReader(page, River);
        await Event(stream);
        var stopping = page.StopAsync();
        using var patience = new CancellationTokenSource(3000);
        while (await stream.ReadLineAsync(patience.Token) is not null)
        {
            // To the end.
        }

        await stopping;
        await page.DisposeAsync();
    }

    private static HttpClient From(IPAddress address, ServedPage page) => new(new SocketsHttpHandler
    {
        ConnectCallback = async (to, stop) =>
        {
            var socket = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
            socket.Bind(new IPEndPoint(address, 0));
            await socket.ConnectAsync(to.DnsEndPoint, stop);
            return new NetworkStream(socket, ownsSocket: true);
        },
    })
    {
        BaseAddress = page.Address,
    };

    private static Task<StreamReader> StreamReader(ServedPage page, string path) => StreamReader(page.Client, path);

    private static async Task<StreamReader> StreamReader(HttpClient client, string path)
    {
        var answer = await client.GetAsync(new Uri(path, UriKind.Relative), HttpCompletionOption.ResponseHeadersRead, Stop);
        answer.EnsureSuccessStatusCode();
        Assert.Equal("text/event-stream", answer.Content.Headers.ContentType!.MediaType);
        return new StreamReader(await answer.Content.ReadAsStreamAsync(Stop));
    }

    private static async Task<(string? Id, JsonElement Data)> Event(StreamReader stream)
    {
        string? id = null;
        JsonElement data = default;
        while (await stream.ReadLineAsync(Stop) is { Length: > 0 } line)
        {
            if (line.StartsWith("id: ", StringComparison.Ordinal)) id = line[4..];
            if (line.StartsWith("data: ", StringComparison.Ordinal)) data = JsonDocument.Parse(line[6..]).RootElement;
        }

        return (id, data);
    }
}
