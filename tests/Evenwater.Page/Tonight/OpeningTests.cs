using Evenwater.Page.Opening;
using Evenwater.Tests.Page;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Evenwater.PageTests.Tonight;

/// <summary>Opening and resetting with a browser: two steps, with and without script.</summary>
public sealed class OpeningTests(Site site) : PageTest(site)
{
    public static TheoryData<int, bool> WidthsAndScript => new() { { Narrow, true }, { Wide, true }, { Narrow, false } };

    [Theory]
    [MemberData(nameof(WidthsAndScript))]
    public async Task Opening_shows_what_it_would_permit_and_is_done_when_that_is_confirmed_once(int width, bool script)
    {
        var served = await Serve(MadeUp.NoRun() with { Name = "river", Simulated = false });
        var page = await Open(new Uri(served.Address, "/stations/river"), width, options => options.JavaScriptEnabled = script);
        await page.GetByRole(AriaRole.Link, new() { Name = "Begin a run…" }).ClickAsync();

        // First what it takes, and how much water is there: refused by the field, with what was typed.
        await Expect(page.Locator("dl")).ToContainTextAsync("11.6 L; it closes before 10.4 L are in");
        await Expect(page.Locator("dl")).ToContainTextAsync("its probe read 185 µS/cm at 25 °C, 2 s before this page was shown");
        await page.GetByLabel("Water in the vessel now").FillAsync("10.4");
        await page.GetByLabel("Somebody stays beside it the whole time").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Ask to open…" }).ClickAsync();
        await Expect(page.Locator("#f-startVolumeLitres-why")).ToContainTextAsync("Allowed is 0.05 to less than 10.4 L");
        await Expect(page.GetByLabel("Water in the vessel now")).ToHaveValueAsync("10.4");
        await FitsAcross(page);
        if (script && width == Narrow)
        {
            await Axe(page);
            await Targets(page);
            await Shot(page, "begin-refused");
        }

        await page.GetByLabel("Water in the vessel now").FillAsync("1.55");
        await page.GetByLabel("How that was measured").SelectOptionAsync("1");
        await page.GetByRole(AriaRole.Button, new() { Name = "Ask to open…" }).ClickAsync();
        await Expect(page.Locator(".sentence")).ToHaveTextAsync("Open the valve of river?");
        await Expect(page.Locator("dl")).ToContainTextAsync("at most 8.40 L more may run in (8400 mL)");
        await Expect(page.Locator("dl")).ToContainTextAsync("at most 12 h 10 min open (43800 s)");
        await Expect(page.Locator("dl")).ToContainTextAsync("somebody, the whole time");
        await Expect(page.Locator("dl")).ToContainTextAsync("1.55 L, judged by eye");
        Assert.Empty(served.Confirmed);
        await FitsAcross(page);
        if (script)
        {
            await Axe(page);
            await Targets(page);
            await Shot(page, "opening");
        }

        await page.GetByRole(AriaRole.Button, new() { Name = "Open the valve now" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("open: done.");
        Assert.Equal(("river", new Confirmed("open", new(8400, 43_800), Attended: true) { Measured = new(1.55, ByEye: true, null) }), Assert.Single(served.Confirmed));
    }

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task A_question_that_was_left_lying_is_refused_in_words_and_so_is_what_the_station_does_not_permit(int width)
    {
        var served = await Serve(MadeUp.Alarm() with { Name = "forbidden", Simulated = false });
        var page = await Open(new Uri(served.Address, "/stations/forbidden"), width);
        await page.GetByRole(AriaRole.Button, new() { Name = "Reset…" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Link, new() { Name = "Leave it as it is" })).ToBeVisibleAsync();
        served.Time.Pass(31);
        await page.GetByRole(AriaRole.Button, new() { Name = "Reset now" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToContainTextAsync("Nothing was reset by this: the question was answered before, or is older than 30 s.");
        Assert.Empty(served.Confirmed);
        served.Board.Post(MadeUp.Alarm() with { Name = "forbidden", Simulated = false }); // heard again
        await page.GetByRole(AriaRole.Button, new() { Name = "Reset…" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Reset now" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("Refused: a float is wet.");
        await Axe(page);
    }
}
