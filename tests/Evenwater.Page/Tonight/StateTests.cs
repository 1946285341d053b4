using Evenwater.Page;
using Evenwater.Tests.Page;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Evenwater.PageTests.Tonight;

/// <summary>Every state of the page of tonight, as it is seen: at both widths, dark, with forced colours, at 320 px and at twice the size.</summary>
public sealed class StateTests(Site site) : PageTest(site)
{
    private static readonly Dictionary<string, StationView> s_views = new(StringComparer.Ordinal)
    {
        ["steady"] = MadeUp.Night(5.2),
        ["act"] = MadeUp.Alarm(),
        ["cannot-tell"] = MadeUp.CannotTell(),
        ["no-run"] = MadeUp.NoRun(),
        ["first-use"] = MadeUp.Night(5.2) with { CautionsShown = true },
    };

    public static TheoryData<string, int> States => [.. from state in s_views.Keys from width in new[] { Narrow, Wide } select (state, width)];

    [Theory]
    [MemberData(nameof(States))]
    public async Task Each_state_fits_its_window_and_nothing_is_objected_to(string state, int width)
    {
        var served = await Serve(s_views[state]);
        var page = await Open(served.Address, width);
        await Expect(page.Locator(".word")).ToBeVisibleAsync();
        await Expect(page.Locator(".cautions")).ToHaveCountAsync(state == "first-use" ? 1 : 0);
        await AtFirstSight(page, ".word", ".sentence", ".close button");
        await FitsAcross(page);
        await Axe(page);
        await Targets(page);
        await Shot(page, state);
    }

    [Theory]
    [InlineData("steady")]
    [InlineData("first-use")]
    public async Task A_page_that_stands_still_begins_with_what_is_happening_as_well(string state)
    {
        var served = await Serve(s_views[state]);
        var page = await Open(new Uri(served.Address, $"/stations/{s_views[state].Name}?still=1"), Wide);
        await AtFirstSight(page, ".word", ".sentence", ".close button");
        await Shot(page, $"{state}-still");
    }

    [Theory]
    [InlineData("dark", "steady")]
    [InlineData("dark", "act")]
    [InlineData("forced-colours", "act")]
    [InlineData("small", "act")]
    [InlineData("small", "steady")]
    [InlineData("twice", "steady")]
    public async Task Nobodys_settings_break_it(string setting, string state)
    {
        var served = await Serve(s_views[state]);
        // Twice the size in a window of 1280 px is a window of 640 px with two points for each (WCAG 2.2, 1.4.4); 320 px is 1.4.10's.
        var page = await Open(served.Address, setting switch { "small" => 320, "twice" => 640, _ => Narrow }, options =>
        {
            options.ColorScheme = setting == "dark" ? ColorScheme.Dark : ColorScheme.Light;
            options.ForcedColors = setting == "forced-colours" ? ForcedColors.Active : ForcedColors.None;
            options.DeviceScaleFactor = setting == "twice" ? 2 : 1;
            options.ReducedMotion = ReducedMotion.Reduce;
        });
        await FitsAcross(page);
        await Axe(page);
        await Shot(page, $"{state}-{setting}");
        if (setting == "forced-colours")
        {
            // The browser lays its paper behind letters, which the checker does not see.
            var unread = await page.EvaluateAsync<string[]>("""
                [...document.querySelectorAll('button')].filter(b => getComputedStyle(b).color === getComputedStyle(document.documentElement).backgroundColor).map(b => b.textContent)
                """);
            Assert.Empty(unread);
        }
    }

    [Fact]
    public async Task Before_the_first_word_and_at_a_station_that_is_not_there_it_says_so()
    {
        var served = await Serve();
        var page = await Open(served.Address, Narrow);
        await Expect(page.Locator(".sentence")).ToContainTextAsync("No station has reported yet");
        await Axe(page);
        served.Board.Post(MadeUp.NoRun());
        await page.GotoAsync(new Uri(served.Address, "/stations/nobody").ToString());
        await Expect(page.Locator(".sentence")).ToHaveTextAsync("There is no station nobody.");
        await Axe(page);
        await Shot(page, "no-station");
    }

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task Several_stations_are_told_in_a_line_each_most_urgent_first_and_stay_true(int width)
    {
        // As long as a name may be, in the widest letters.
        var longest = new string('w', 32);
        var served = await Serve(MadeUp.Night(1, "goby"), MadeUp.Night(5.2, "river"), MadeUp.NoRun() with { Name = longest });
        var page = await Open(served.Address, width);
        await Expect(page.Locator("[data-station] h2")).ToHaveTextAsync(["goby", "river", longest]);
        await page.GetByRole(AriaRole.Main).GetByRole(AriaRole.Link, new() { Name = "river" }).FocusAsync();
        served.Board.Post(MadeUp.Alarm() with { Name = "river", Simulated = false });
        await Expect(page.Locator("[data-station] h2")).ToHaveTextAsync(["river", "goby", longest]);
        await Expect(page.GetByRole(AriaRole.Main).GetByRole(AriaRole.Link, new() { Name = "river" })).ToBeFocusedAsync(); // who goes by the keys is not sent back to the top
        await Expect(page.Locator("[data-station='river'] .sentence")).ToHaveTextAsync("The floor by the vessel is wet.");
        await Expect(page.Locator("p.spoken")).ToHaveTextAsync("river: Act. The floor by the vessel is wet.");
        served.Board.Post(MadeUp.CannotTell() with { Name = "goby", Simulated = false });
        await Expect(page.Locator("p.spoken")).ToContainTextAsync("goby: Can't tell. The vessel's probe has not answered"); // although it does not come first
        await Expect(page.Locator("h1")).ToHaveTextAsync("Stations");
        Assert.StartsWith("Act: ", await page.TitleAsync(), StringComparison.Ordinal);
        await FitsAcross(page);
        await Axe(page);
        await Targets(page);
        await Shot(page, "stations");
        await page.GetByRole(AriaRole.Button, new() { Name = "Close the valve of goby" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("Closed.");
        Assert.Equal(["goby by page"], served.Closed);
    }

    [Fact]
    public async Task A_word_that_changed_before_the_first_event_is_spoken_as_well()
    {
        var served = await Serve(MadeUp.Night(5.2));
        var page = await Open(served.Address, Narrow);
        var listens = new TaskCompletionSource();
        await page.RouteAsync("**/live", async route =>
        {
            await listens.Task;
            await route.ContinueAsync();
        });
        await page.ReloadAsync();
        served.Board.Post(MadeUp.Alarm());
        listens.SetResult();
        await Expect(page.Locator("p.spoken")).ToHaveTextAsync("Act. The floor by the vessel is wet.");
    }

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task Closing_is_one_tap_and_an_alarm_is_seen_with_one_and_put_aside_with_a_reason(int width)
    {
        var served = await Serve(MadeUp.Alarm());
        var page = await Open(served.Address, width);
        await page.GetByRole(AriaRole.Button, new() { Name = "Close the valve" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("Closed.");
        Assert.Equal(["sim-river by page"], served.Closed);
        await page.GetByRole(AriaRole.Button, new() { Name = "I have seen it (Water on the floor)" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("Done as asked.");
        await page.GetByRole(AriaRole.Link, new() { Name = "Hold it still" }).ClickAsync();
        await page.GetByLabel("because").FillAsync("flushing the tube");
        await page.GetByRole(AriaRole.Button, new() { Name = "Put aside (The drip has nearly stopped)" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("Done as asked.");
        Assert.Equal([new AlarmAct("acknowledge", "leak"), new AlarmAct("shelve", "drip-slow", 3600, "flushing the tube")], served.Asked.Select(a => a.Act));
    }
}
