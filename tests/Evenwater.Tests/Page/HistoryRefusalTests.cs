using System.Diagnostics;
using System.Net;
using System.Text.Json;

namespace Evenwater.Tests.Page;

/// <summary>Spans and channels that can not be shown; no log is behind it, since none may be looked into.</summary>
public sealed class HistoryRefusalTests(HistoryRefusalTests.Served served) : IClassFixture<HistoryRefusalTests.Served>
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("channel=tank_temperature&station=nowhere&span=day", "station")]
    [InlineData("span=day", "channel")]
    [InlineData("channel=tank_temperature&span=day", "channel")]
    [InlineData("channel=sim-river/tank_colour&span=day", "channel")]
    [InlineData("channel=elsewhere/tank_temperature&span=day", "channel")]
    [InlineData("station=sim-river&channel=tank_colour&span=day", "channel")] // and not what is shown when none is named
    [InlineData("station=sim-river&channel=elsewhere/tank_temperature&span=day", "channel")]
    [InlineData("station=sim-river&channel=vessel_conductivity_25c&channel=vessel_temperature&channel=tank_conductivity_25c&channel=tank_temperature&channel=float_low&channel=float_high&channel=leak&channel=drops&channel=tank_light", "channel")]
    [InlineData("station=sim-river&span=fortnight", "span")]
    [InlineData("station=sim-river&span=own", "from")]
    [InlineData("station=sim-river&from=yesterday", "from")]
    [InlineData("station=sim-river&from=2026-02-30T10:00Z", "from")]
    [InlineData("station=sim-river&from=0001-01-01T00:00Z&to=2026-01-01", "from")]
    [InlineData("station=sim-river&from=0001-01-01T00:00&to=2026-01-01", "from")] // of the place, whose clock may be ahead
    [InlineData("station=sim-river&from=2026-03-14T20:00Z&to=soon", "to")]
    [InlineData("station=sim-river&from=2026-03-14T20:00Z&to=2026-03-14T19:00Z", "from")]
    [InlineData("station=sim-river&from=2026-03-14T20:00:00Z&to=2026-03-14T20:00:30Z", "from")]
    [InlineData("station=sim-river&from=1990-01-01T00:00Z&to=2026-03-14T19:00Z", "from")]
    [InlineData("station=sim-river&from=-8000d", "from")]
    [InlineData("station=sim-river&from=-999999d", "from")] // before the calendar begins
    [InlineData("station=sim-river&from=1960-01-01T00:00Z&to=1960-01-02T00:00Z", "to")] // no clock of a station says so
    [InlineData("station=sim-river&span=day&compare=sometimes", "compare")]
    [InlineData("station=sim-river&span=day&compare=own", "compareFrom")]
    [InlineData("station=sim-river&span=day&points=1501", "points")]
    [InlineData("station=sim-river&span=day&points=1", "points")]
    public async Task What_can_not_be_shown_is_refused_at_once_and_by_the_name_of_the_parameter(string query, string field)
    {
        var clock = Stopwatch.StartNew();
        using var answer = await served.Page.Client.GetAsync(new Uri($"/api/v1/history?{query}", UriKind.Relative), Stop);
        // Milliseconds on a machine of its own; a reading of the log would take as long as it is large.
        Assert.InRange(clock.ElapsedMilliseconds, 0, 500);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType!.MediaType);
        var problem = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop)).RootElement;
        Assert.Equal(field, problem.GetProperty("errors")[0].GetProperty("field").GetString());
        Assert.NotEmpty(problem.GetProperty("errors")[0].GetProperty("allowed").GetString()!);
    }

    /// <summary>The channels that are shown when none is named stand in the log too: the page had broken off without a word.</summary>
    [Theory]
    [InlineData("", HttpStatusCode.ServiceUnavailable, "The log could not be read")]
    [InlineData("?from=yesterday", HttpStatusCode.UnprocessableEntity, "&quot;yesterday&quot; was given")]
    public async Task A_page_over_a_log_that_can_not_be_read_says_so_or_what_it_refuses(string query, HttpStatusCode status, string says)
    {
        using var asked = new HttpRequestMessage(HttpMethod.Get, new Uri($"/stations/sim-river/history{query}", UriKind.Relative));
        asked.Headers.Accept.ParseAdd("text/html");
        using var answer = await served.Page.Client.SendAsync(asked, Stop);
        Assert.Equal(status, answer.StatusCode);
        Assert.Contains(says, await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    /// <summary>One page for all of them.</summary>
    public sealed class Served : IAsyncLifetime
    {
        internal ServedPage Page { get; private set; } = null!;

        public async ValueTask InitializeAsync()
        {
            Page = await ServedPage.StartAsync(MadeUp.Night(1));
            // The first one waits for the compiler. Once for all of them: a client may ask 40 times at once.
            using var first = await Page.Client.GetAsync(new Uri("/api/v1/history?span=day", UriKind.Relative), Stop);
        }

        public ValueTask DisposeAsync() => Page.DisposeAsync();
    }
}
