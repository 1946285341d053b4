namespace Evenwater.PageTests.Tonight;

/// <summary>The page of a night that goes on, as the daemon serves it.</summary>
[Collection(Acts.Name)]
public sealed class TonightTests(Site site) : PageTest(site)
{
    [Theory]
    [MemberData(nameof(Widths))]
    public async Task A_night_that_drips_is_told_and_nothing_is_objected_to(int width)
    {
        var page = await Open($"/stations/{Site.Station}", width);
        Assert.Contains("sim-river", await page.TitleAsync(), StringComparison.Ordinal);
        await FitsAcross(page);
        await Axe(page);
        await Shot(page, "tonight");
    }
}
