using System.Net;
using Evenwater.Page;

namespace Evenwater.Tests.Page;

/// <summary>What the page tells of alarms, and what can be done about them there.</summary>
public class AlarmPageTests
{
    private const string Alarms = "/api/v1/stations/sim-river/alarms/";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Each_alarm_tells_what_is_happening_what_was_done_what_to_do_and_by_when()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        var html = await HtmlAsync(page, "/");
        foreach (var said in new[]
                 {
                     "Water on the floor", "unacknowledged, critical, since 01:12", "Done: Closed the valve at 01:11.", "Pinch the hose, dry the sensor, find the leak.</strong> By 01:24.",
                     "If nothing is done: The floor is damaged.", "shelved, medium, until 02:00", "cleaning it", "Calls in the last 24 h: 2",
                 })
        {
            Assert.Contains(said, html, StringComparison.Ordinal);
        }
    }

    /// <summary>The made-up night is at 01:12 on Monday 2 March 2026. A clock time alone is read as that of the day.</summary>
    [Fact]
    public async Task What_is_more_than_half_a_day_away_is_told_with_its_day()
    {
        var night = MadeUp.Alarm();
        var since = night.Now.AddHours(-75); // Thursday, 22:12
        await using var page = await ServedPage.StartAsync(night with
        {
            ByWhen = night.Now.AddHours(30), Alarms = [night.Alarms[0] with { Since = since, ByWhen = since.AddHours(2) }, night.Alarms[0] with { Since = night.Now.AddHours(-23) }],
            Events = [new(night.NowSeconds - (26 * 3600), RunEventKind.Valve, "The valve opened."), new(night.NowSeconds - (11 * 3600), RunEventKind.Valve, "The valve closed.")],
        }, MadeUp.Night(1, "goby"));
        var html = await HtmlAsync(page, "/stations/sim-river");
        Assert.Contains("since Thu 26 Feb 22:12", html, StringComparison.Ordinal);
        Assert.Contains("</strong> By Fri 27 Feb 00:12.", html, StringComparison.Ordinal);
        Assert.Contains("since Sun 1 Mar 02:12", html, StringComparison.Ordinal); // at 01:12 it had read as in an hour
        Assert.Contains(">Tue 3 Mar 07:12</time>", html, StringComparison.Ordinal);
        Assert.Contains(">Sat 28 Feb 23:12</time> The valve opened.", html, StringComparison.Ordinal);
        Assert.Contains(">14:12</time> The valve closed.", html, StringComparison.Ordinal);
        Assert.Contains("By Tue 3 Mar 07:12.", await HtmlAsync(page, "/"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Where_no_clock_was_ever_set_it_is_told_how_soon_in_words()
    {
        var night = MadeUp.Alarm() with { ClockKnown = false, ByWhen = null, HowSoon = "within 4 min" };
        await using var page = await ServedPage.StartAsync(night with { Alarms = [night.Alarms[0] with { ByWhen = null, HowSoon = "now" }] }, MadeUp.Night(1, "goby"));
        var html = await HtmlAsync(page, "/stations/sim-river");
        Assert.Matches(@"<dt>How soon</dt>\s*<dd>within 4 min</dd>", html);
        Assert.Contains("find the leak.</strong> How soon: now.", html, StringComparison.Ordinal);
        Assert.Contains("</strong> How soon: within 4 min.", await HtmlAsync(page, "/"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_alarm_is_acknowledged_with_a_button_where_that_means_anything()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        var html = await HtmlAsync(page, "/");
        Assert.Contains($"action=\"{Alarms}leak/acknowledge\"", html, StringComparison.Ordinal);
        Assert.DoesNotContain("probe-trouble/acknowledge", html, StringComparison.Ordinal);
        var answer = await page.PostFormAsync(Alarms + "leak/acknowledge");
        Assert.Contains("Done as asked.", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        Assert.Equal(("sim-river", new("acknowledge", "leak")), Assert.Single(page.Asked));
    }

    [Fact]
    public async Task Putting_aside_asks_for_hours_and_a_reason_on_a_page_that_stands_still()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        Assert.DoesNotContain("/shelve", await HtmlAsync(page, "/"), StringComparison.Ordinal);
        var still = await HtmlAsync(page, "/stations/sim-river?still=1");
        Assert.Contains($"action=\"{Alarms}drip-slow/shelve\"", still, StringComparison.Ordinal);
        Assert.DoesNotContain("leak/shelve", still, StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.OK, (await page.PostFormAsync(Alarms + "drip-slow/shelve", ("hours", "1.5"), ("reason", "flushing the tube"))).StatusCode);
        await page.PostFormAsync(Alarms + "drip-slow/shelve", ("hours", "long"));
        Assert.Equal([("sim-river", new("shelve", "drip-slow", 5400, "flushing the tube")), ("sim-river", new("shelve", "drip-slow", 0, null))], page.Asked);

        // What is refused is a problem to a program, and not typed twice by a person.
        var problem = await page.PostFormAsync(Alarms + "drip-slow/shelve", ("hours", "12.5"), ("reason", "away"));
        Assert.Equal((HttpStatusCode.Conflict, "application/problem+json"), (problem.StatusCode, problem.Content.Headers.ContentType!.MediaType));
        Assert.Contains("\"detail\":\"Refused: too long.\"", await problem.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        page.Client.DefaultRequestHeaders.Accept.ParseAdd("text/html");
        var refused = await page.PostFormAsync(Alarms + "drip-slow/shelve", ("hours", "12.5"), ("reason", "away \"till\" noon"));
        Assert.Equal(HttpStatusCode.Conflict, refused.StatusCode);
        var again = WebUtility.HtmlDecode(await refused.Content.ReadAsStringAsync(Stop));
        Assert.Contains("Refused: too long.", again, StringComparison.Ordinal);
        Assert.Contains("value=\"12.5\"", again, StringComparison.Ordinal);
        Assert.Contains("value=\"away \"till\" noon\"", again, StringComparison.Ordinal);
        Assert.DoesNotContain("away", await HtmlAsync(page, "/stations/sim-river?still=1"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("leak/acknowledge")]
    [InlineData("drip-slow/shelve")]
    public async Task Another_origin_can_do_nothing_about_an_alarm(string what)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri(Alarms + what, UriKind.Relative));
        request.Headers.Add("Origin", "http://evil.example");
        Assert.Equal(HttpStatusCode.Forbidden, (await page.Client.SendAsync(request, Stop)).StatusCode);
        Assert.Empty(page.Asked);
    }

    private static async Task<string> HtmlAsync(ServedPage page, string path) =>
        WebUtility.HtmlDecode(await page.Client.GetStringAsync(new Uri(path, UriKind.Relative), Stop));
}
