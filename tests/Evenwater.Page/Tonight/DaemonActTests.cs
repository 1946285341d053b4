using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Evenwater.PageTests.Tonight;

/// <summary>The acts of the page at the running daemon, up to its valve.</summary>
[Collection(Acts.Name)]
public sealed class DaemonActTests(Site site) : PageTest(site)
{
    [Fact]
    public async Task The_valve_is_closed_with_one_tap_and_opened_again_in_two_steps()
    {
        // What is answered and what is shown beside it are of one moment, without any script.
        var plain = await Open($"/stations/{Site.Station}", Narrow, options => options.JavaScriptEnabled = false);
        await plain.GetByRole(AriaRole.Button, new() { Name = "Close the valve" }).ClickAsync();
        Assert.Equal("The valve of sim-river is closed.", await plain.Locator(".answer").TextContentAsync());
        Assert.Equal("closed", await plain.Locator(".say dl dd").First.TextContentAsync());
        await plain.GetByLabel("Somebody stays beside it the whole time").CheckAsync();
        await plain.GetByRole(AriaRole.Button, new() { Name = "Go on with the run…" }).ClickAsync();
        await plain.GetByRole(AriaRole.Button, new() { Name = "Open the valve now" }).ClickAsync();

        var page = await Open($"/stations/{Site.Station}", Narrow);
        await page.GetByRole(AriaRole.Button, new() { Name = "Close the valve" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("The valve of sim-river is closed.");
        await page.GetByLabel("Somebody stays beside it the whole time").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Go on with the run…" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Open the valve now" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToHaveTextAsync("sim-river goes on with its run, and opens as soon as that is written down.");
        await Expect(page.Locator(".say dl dd").First).ToHaveTextAsync("open");
        await Expect(page.Locator(".events")).ToContainTextAsync("The valve closed.");

        // Where nobody stays beside it, the station that was never proof-tested refuses, and says why.
        await page.GetByRole(AriaRole.Button, new() { Name = "Close the valve" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Go on with the run…" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Open the valve now" }).ClickAsync();
        await Expect(page.Locator(".answer")).ToContainTextAsync("Refused: not to be left alone.");
        await Expect(page.Locator(".say dl dd").First).ToHaveTextAsync("closed");
        await page.GetByLabel("Somebody stays beside it the whole time").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Go on with the run…" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Open the valve now" }).ClickAsync();
        await Expect(page.Locator(".say dl dd").First).ToHaveTextAsync("open");
    }
}
