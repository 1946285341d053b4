using Evenwater.Core.Telling;
using Evenwater.Page;
using Evenwater.Tests.Page;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Evenwater.PageTests.Tonight;

/// <summary>An open page stays true by itself, and says so when it can not.</summary>
public sealed class LiveTests(Site site) : PageTest(site)
{
    private static readonly StationView s_night = MadeUp.Night(5.2, "river");

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task Figures_and_words_change_in_place_and_only_what_is_new_is_spoken(int width)
    {
        var served = await Serve(s_night);
        var page = await Open(new Uri(served.Address, "/stations/river"), width);
        await page.EvaluateAsync("window.sameDocument = true");
        var figure = page.Locator("[data-value='Vessel conductivity'] [data-figure]");
        await Expect(figure).ToHaveTextAsync("242");
        served.Board.Post(s_night with { Values = [.. s_night.Values.Select((v, i) => i == 0 ? v with { Number = 241 } : v)] });
        await Expect(figure).ToHaveTextAsync("241");
        await Expect(page.Locator("p.spoken")).ToBeEmptyAsync();

        // However long a figure gets, its column and those beside it stay where they were.
        const string Columns = "() => [...document.querySelectorAll('.values tr:first-child > *')].map(cell => Math.round(cell.getBoundingClientRect().left)).join()";
        var columns = await page.EvaluateAsync<string>(Columns);
        Assert.Contains(',', columns);
        await figure.EvaluateAsync("cell => cell.textContent = '1'.repeat(60)");
        Assert.Equal(columns, await page.EvaluateAsync<string>(Columns));

        served.Board.Post(MadeUp.Alarm() with { Name = "river", Simulated = false });
        await Expect(page.Locator(".word")).ToHaveTextAsync("Act");
        await Expect(page.Locator("p.spoken")).ToHaveTextAsync("Act. The floor by the vessel is wet.");
        await Expect(page.Locator("article h3").First).ToHaveTextAsync("Water on the floor");
        await Expect(page.Locator(".say dl")).ToContainTextAsync("Pinch the hose above the valve");
        Assert.Equal("Act: river", await page.TitleAsync());
        Assert.True(await page.EvaluateAsync<bool>("window.sameDocument"), "the page was loaded anew");
        await FitsAcross(page);
        await Axe(page);
    }

    [Fact]
    public async Task A_lost_line_is_told_across_the_page_values_go_grey_and_a_new_line_is_taken_up()
    {
        var served = await ServedPage.StartAsync(s_night, MadeUp.Night(1, "goby"));
        var page = await Open(new Uri(served.Address, "/stations/river"), Narrow, inFakeTime: true);
        var list = await Open(served.Address, Narrow, inFakeTime: true);
        await Expect(list.Locator(".word")).ToHaveTextAsync(["Steady", "Steady"]);
        await Expect(page.Locator("[data-value='Vessel conductivity'] [data-shown-age]")).ToHaveTextAsync("2 s");
        await page.EvaluateAsync("window.sameDocument = true");
        await served.DisposeAsync();
        Forgive("the console says: Failed to load resource: net::ERR_");
        await PassAsync(page, 9);
        await Expect(page.Locator(".lost")).ToBeEmptyAsync();
        await PassAsync(page, 40);
        // What was to be done then, nothing, is not what is to be done now.
        await Expect(page.Locator(".lost")).ToHaveTextAsync("Not connected since 01:12: all below is old. Look at the vessel itself, and whether this network and the station's computer run.");
        await Expect(page.Locator(".say dl")).ToHaveCSSAsync("font-style", "italic");
        await Expect(page.Locator(".picture:visible")).ToHaveCSSAsync("opacity", "1"); // old, and still to be read (WCAG 2.2, 1.4.3)
        await Expect(page.Locator(".word")).ToHaveTextAsync("Can't tell");
        await Expect(page.Locator("[data-value='Vessel conductivity'].doubt [data-shown-age]")).ToHaveTextAsync("stale 51 s");
        await FitsAcross(page);
        await Axe(page);
        await Shot(page, "tonight-not-connected");

        // Its clock is set back an hour; then the computer sleeps for half of one, in which only that clock goes on.
        await page.EvaluateAsync("const was = Date.now; let set = -3_600_000; Date.now = () => was() + set; passTime(1).then(() => { set += 1_800_000; return passTime(1); })");
        await Expect(page.Locator("[data-value='Vessel conductivity'] [data-shown-age]")).ToHaveTextAsync("stale 30 min");

        await PassAsync(list, 12);
        await Expect(list.Locator(".word")).ToHaveTextAsync(["Can't tell", "Can't tell"]);
        Assert.Equal("Can't tell: not connected", await list.TitleAsync());

        // A network that swallows what is asked is none, also when it is asked a second time meanwhile.
        await list.EvaluateAsync("""
            () => {
              const real = window.fetch;
              window.fetch = () => new Promise((_, end) => window.hangUp = () => (window.fetch = real, end()));
              passTime(5); // asked at 17 s, which does not end, and anew at 23
              setTimeout(() => passTime(6), 50);
              return new Promise(done => (function look() { performance.now() >= 23_000 ? done() : setTimeout(look, 10); })());
            }
            """);
        await Expect(list.Locator(".lost")).ToContainTextAsync("Not connected");
        await list.EvaluateAsync("hangUp()");

        // First without the station, as after its name was changed.
        Forgive("the console says: Failed to load resource: the server responded with a status of 404");
        await using var again = await ServedPage.StartAsync(served.Address.Port, MadeUp.Night(1, "goby"), MadeUp.Night(1, "pond"));
        await PassAsync(page, 7);
        await Expect(page.Locator(".lost")).ToContainTextAsync("the program answers, but has no such station. All below is old.");
        again.Board.Post(s_night);
        await PassAsync(page, 6);
        await Expect(page.Locator(".lost")).ToBeEmptyAsync();
        await PassAsync(page, 1);
        await Expect(page.Locator(".word")).ToHaveTextAsync("Steady");
        await Expect(page.Locator("[data-value='Vessel conductivity']:not(.doubt) [data-shown-age]")).ToHaveTextAsync(new System.Text.RegularExpressions.Regex("^[2-9] s$"));
        Assert.True(await page.EvaluateAsync<bool>("window.sameDocument"), "the page was loaded anew");
        await PassAsync(list, 7);
        await Expect(list.Locator(".word")).ToHaveTextAsync(["Steady", "Steady", "Steady"]);
        // Before the server goes: what it still answers while it ends is not asked for here.
        await page.CloseAsync();
        await list.CloseAsync();
    }

    /// <summary>The title is all that is seen of it then, for hours.</summary>
    [Fact]
    public async Task A_page_that_is_hidden_follows_nothing_and_its_title_says_so()
    {
        var served = await Serve(s_night);
        var page = await Open(new Uri(served.Address, "/stations/river?still=1"), Narrow);
        var followed = 0;
        page.Request += (_, request) => followed += request.Url.EndsWith("/live", StringComparison.Ordinal) ? 1 : 0;
        await page.AddInitScriptAsync("let hidden = true; Object.defineProperty(document, 'hidden', { get: () => hidden }); window.turn = to => { hidden = to; document.dispatchEvent(new Event('visibilitychange')); }");
        await page.GetByRole(AriaRole.Link, new() { Name = "Follow again" }).ClickAsync();
        await Expect(page).ToHaveTitleAsync("Can't tell: not followed while hidden");
        Assert.Equal(0, followed); // it takes no place of those who look
        await page.EvaluateAsync("turn(false)");
        await Expect(page).ToHaveTitleAsync("Steady: river");
        Assert.Equal(1, followed);
        await page.EvaluateAsync("turn(true)");
        await Expect(page).ToHaveTitleAsync("Can't tell: not followed while hidden");
    }

    /// <summary>Many pages of one house may have asked too much together.</summary>
    [Fact]
    public async Task A_page_that_may_not_be_fetched_just_now_stays_and_is_fetched_later()
    {
        var served = await Serve(s_night);
        var page = await Open(new Uri(served.Address, "/stations/river"), Narrow);
        Forgive("the console says: Failed to load resource: the server responded with a status of 429");
        await page.EvaluateAsync("window.sameDocument = true");
        var refused = 0;
        await page.RouteAsync("**/stations/river", async route =>
        {
            if (route.Request.IsNavigationRequest) await route.ContinueAsync();
            else await route.FulfillAsync(new() { Status = Interlocked.Increment(ref refused) > 0 ? 429 : 200, ContentType = "application/problem+json", Body = "{\"title\":\"Asked too often\"}" });
        });
        served.Board.Post(MadeUp.Alarm() with { Name = "river", Simulated = false });
        await Expect(page.Locator("[data-sentence]")).ToHaveTextAsync("The floor by the vessel is wet.");
        while (Volatile.Read(ref refused) < 2) await Task.Delay(50, TestContext.Current.CancellationToken);
        Assert.True(await page.EvaluateAsync<bool>("window.sameDocument === true"), "the page was loaded anew");
        await page.UnrouteAsync("**/stations/river");
        await Expect(page.Locator(".word")).ToHaveTextAsync("Act");
        Assert.True(await page.EvaluateAsync<bool>("window.sameDocument === true"), "the page was loaded anew");

        // A page that follows other stations than this one did is loaded anew, once: nothing of this one would be left.
        var other = (await served.Client.GetStringAsync(new Uri("/stations/river", UriKind.Relative), TestContext.Current.CancellationToken)).Replace("/api/v1/stations/river/live", "/api/v1/live", StringComparison.Ordinal);
        var loaded = new TaskCompletionSource();
        page.Load += (_, _) => loaded.TrySetResult();
        await page.RouteAsync("**/stations/river", async route =>
        {
            if (route.Request.IsNavigationRequest) await route.ContinueAsync();
            else await route.FulfillAsync(new() { ContentType = "text/html", Body = other });
        });
        served.Board.Post(s_night);
        await loaded.Task.WaitAsync(TimeSpan.FromSeconds(15), TestContext.Current.CancellationToken);
        await Expect(page.Locator(".word")).ToHaveTextAsync("Steady");
    }

    [Fact]
    public async Task What_was_ticked_stays_ticked_when_the_page_is_drawn_anew()
    {
        var held = s_night with { Phase = "holding", ValveOpen = false, Opens = Evenwater.Page.Opening.Opens.GoOn, CautionsShown = true };
        var served = await Serve(held);
        var page = await Open(new Uri(served.Address, "/stations/river"), Narrow);
        await page.GetByLabel("Somebody stays beside it the whole time").CheckAsync();
        await page.Keyboard.PressAsync("Tab"); // on to the button
        await Expect(page.Locator(".cautions")).ToBeVisibleAsync();
        served.Board.Post(held with { Do = "Go and look.", CautionsShown = false }); // put away on another page
        await Expect(page.Locator(".say dl")).ToContainTextAsync("Go and look.");
        await Expect(page.Locator(".cautions")).ToHaveCountAsync(0);
        await Expect(page.GetByRole(AriaRole.Button, new() { Name = "Go on with the run…" })).ToBeFocusedAsync();
        await Expect(page.GetByLabel("Somebody stays beside it the whole time")).ToBeCheckedAsync();
    }

    [Fact]
    public async Task What_was_answered_once_does_not_stand_beside_what_is_true_later()
    {
        var served = await Serve(s_night with { Speed = 60 });
        var page = await Open(new Uri(served.Address, "/stations/river"), Narrow, inFakeTime: true);
        await page.GetByRole(AriaRole.Button, new() { Name = "Close the valve" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("Closed.");

        // Nor is a value old between two events that each tell its age, a second apart, because that is a minute to a station at 60 times life.
        Assert.Equal(0, await page.EvaluateAsync<int>("async () => { await passTime(1); return document.querySelectorAll('.values .doubt').length; }"));

        // And its picture does not stay behind its clock for half an hour of its own.
        served.Board.Post(s_night with { Speed = 60, Now = s_night.Now.AddMinutes(10), NowSeconds = s_night.NowSeconds + 600 });
        await PassAsync(page, 3);
        await Expect(page.Locator(".picture:visible .p-moment", new() { HasText = "now 01:22" })).ToBeVisibleAsync();
        await PassAsync(page, 55);
        await Expect(page.Locator(".answer")).ToHaveTextAsync("Closed.");
        await PassAsync(page, 2);
        await Expect(page.Locator(".answer")).ToHaveCountAsync(0);
    }

    [Fact]
    public async Task A_station_that_falls_silent_is_not_believed_on_an_open_page_until_it_is_heard_again()
    {
        var served = await Serve(s_night with { ClockKnown = false });
        var page = await Open(new Uri(served.Address, "/stations/river"), Wide);
        served.Time.Pass(40);
        await Expect(page.Locator(".word")).ToHaveTextAsync("Can't tell");
        await Expect(page.Locator("[data-sentence]")).ToHaveTextAsync("The station has not reported for 40 s: everything below is old.");
        await Expect(page.Locator("[data-value='Tank temperature'].doubt")).ToContainTextAsync("stale 44 s");
        await Axe(page);
        await Expect(page.Locator("[data-part=doubts]")).ToContainTextAsync("Last word: Even with the tank");
        await Shot(page, "tonight-silent");

        // Heard again, and its clock has been set meanwhile: neither doubt stands any more.
        served.Board.Post(s_night);
        await Expect(page.Locator(".word")).ToHaveTextAsync("Steady");
        await Expect(page.Locator("[data-part=doubts]")).ToHaveTextAsync("");
        await Expect(page.Locator("header")).ToContainTextAsync("01:12:00");
    }

    [Fact]
    public async Task Without_script_the_page_is_fetched_anew_by_itself_unless_it_is_held_still()
    {
        var served = await Serve(s_night);
        var page = await Open(new Uri(served.Address, "/stations/river"), Narrow, options => options.JavaScriptEnabled = false);
        await Expect(page.Locator("[data-value='Vessel conductivity'] [data-figure]")).ToHaveTextAsync("242");
        served.Board.Post(s_night with { Values = [.. s_night.Values.Select((v, i) => i == 0 ? v with { Number = 241 } : v)] });
        await Expect(page.Locator("[data-value='Vessel conductivity'] [data-figure]")).ToHaveTextAsync("241", new() { Timeout = 8_000 });
        await page.GetByText("Hold it still").ClickAsync();
        await Expect(page.GetByText("This page stands still.")).ToBeVisibleAsync();
        Assert.DoesNotContain("http-equiv", await page.ContentAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_script_tells_ages_in_the_words_of_the_server()
    {
        var served = await Serve(s_night);
        var page = await Open(new Uri(served.Address, "/stations/river?still=1"), Wide);
        double[] seconds = [-1, 0, 0.9, 59, 119.9, 120, 3599, 7199, 7200, 100_000, 172_799, 172_800];
        var words = await page.EvaluateAsync<string[]>("async seconds => { const { ageWords } = await import('/assets/age.js'); return seconds.map(ageWords); }", seconds);
        Assert.Equal(seconds.Select(TimeWords.Age), words);
    }
}
