using Evenwater.Tests.Page;
using Microsoft.Playwright;

namespace Evenwater.PageTests.Looking;

/// <summary>What swung, and what a change did, as a keeper asks it.</summary>
public sealed class LookingTests(Site site, TankPage tank) : PageTest(site), IClassFixture<TankPage>
{
    [Theory]
    [MemberData(nameof(Widths))]
    public async Task From_a_swing_to_what_a_change_did_every_step_is_whole(int width)
    {
        var page = await Open(new Uri(tank.Page.Address, "/stations/tank/swings"), width);
        await Whole(page, "swings");
        await page.GetByLabel("Only where this one swung").SelectOptionAsync("conductivity");
        await page.GetByRole(AriaRole.Button, new() { Name = "Show the swings" }).ClickAsync();
        await Assertions.Expect(page.Locator("article")).ToHaveCountAsync(1);
        await Assertions.Expect(page.Locator("article svg:visible")).ToHaveCountAsync(1);

        await page.GetByRole(AriaRole.Link, new() { Name = "What did it do?", Exact = true }).ClickAsync();
        await Whole(page, "did-asked-nothing");
        await page.GetByLabel("Note of the book").SelectOptionAsync("n1");
        await page.GetByRole(AriaRole.Button, new() { Name = "What did it do?" }).ClickAsync();
        await Assertions.Expect(page.Locator(".sentence").First).ToContainTextAsync("°C lower");
        await Whole(page, "did");
        await IsTable(page);

        await page.GetByLabel("Or when it was made").FillAsync("half past nine");
        await page.GetByRole(AriaRole.Button, new() { Name = "What did it do?" }).ClickAsync();
        await Assertions.Expect(page.GetByLabel("Or when it was made")).ToHaveAttributeAsync("aria-invalid", "true");
        await Assertions.Expect(page.GetByLabel("Or when it was made")).ToHaveValueAsync("half past nine");
        await Whole(page, "did-refused");
    }

    [Fact]
    public async Task In_the_dark_and_with_forced_colours_nothing_is_lost()
    {
        var dark = await Open(new Uri(tank.Page.Address, "/stations/tank/did?note=n1"), Wide, options => options.ColorScheme = ColorScheme.Dark);
        await Whole(dark, "did-dark");
        var forced = await Open(new Uri(tank.Page.Address, "/stations/tank/swings"), 320, options => options.ForcedColors = ForcedColors.Active);
        await Whole(forced, "swings-forced");
    }

    /// <summary>However it is laid out, whoever hears it hears a table: five columns by their headings, and each row by its own.</summary>
    private static async Task IsTable(IPage page)
    {
        var devtools = await page.Context.NewCDPSessionAsync(page);
        var tree = await devtools.SendAsync("Accessibility.getFullAXTree");
        var roles = tree!.Value.GetProperty("nodes").EnumerateArray().Where(node => !node.GetProperty("ignored").GetBoolean()).Select(node => node.GetProperty("role").GetProperty("value").GetString()).ToList();
        Assert.Equal((1, 5), (roles.Count(role => role == "table"), roles.Count(role => role == "columnheader")));
        Assert.Equal(roles.Count(role => role == "row") - 1, roles.Count(role => role == "rowheader"));
        Assert.InRange(roles.Count(role => role == "cell"), 8, 200);
    }

    private static async Task Whole(IPage page, string name)
    {
        await FitsAcross(page);
        Assert.Equal(0, await page.Locator("main table").EvaluateAllAsync<int>("tables => tables.filter(t => t.scrollWidth > t.clientWidth || t.parentElement.scrollWidth > t.parentElement.clientWidth).length"));
        await Axe(page);
        await Shot(page, name);
    }
}
