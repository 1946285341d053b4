using System.Net;
using System.Text.RegularExpressions;
using Evenwater.Page.Frame;

namespace Evenwater.Tests.Page;

public partial class PageAssetTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_a_page_names_is_served_and_kept_by_the_browser_until_the_next_build()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var html = await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop);
        var named = Named().Matches(html).Select(m => m.Groups[1].Value).ToList();
        Assert.Contains(named, a => a.StartsWith("/assets/page.css?v=", StringComparison.Ordinal));
        foreach (var address in named)
        {
            var answer = await page.Client.GetAsync(new Uri(address, UriKind.Relative), Stop);
            Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
            Assert.True(answer.Headers.CacheControl is { Public: true, MaxAge.TotalDays: > 300 }, address);
        }
    }

    [Theory]
    [InlineData("/assets/page.css", HttpStatusCode.OK)]
    [InlineData("/assets/sim-river.json", HttpStatusCode.NotFound)]
    [InlineData("/assets/water-checks.csv", HttpStatusCode.NotFound)]
    [InlineData("/assets/..%2Fpage.css", HttpStatusCode.NotFound)]
    public async Task Nothing_but_styles_scripts_and_pictures_is_served_and_without_its_build_it_is_asked_for_each_time(string address, HttpStatusCode expected)
    {
        await using var page = await ServedPage.StartAsync();
        var answer = await page.Client.GetAsync(new Uri(address, UriKind.Relative), Stop);
        Assert.Equal(expected, answer.StatusCode);
        Assert.True(answer.Headers.CacheControl is { NoCache: true } or { NoStore: true }, address);
    }

    /// <summary>WCAG 2.2, 2.5.5 Target Size (Enhanced): 44 by 44 CSS px; a line of text is 1.45 of 16 px here.</summary>
    [Theory]
    [InlineData("page.css", "nav a", "padding-block")]
    [InlineData("page.css", "input, select, textarea", "min-height")]
    [InlineData("history.css", ".history .choices label", "min-height")]
    [InlineData("history.css", ".history details summary", "padding-block")]
    public async Task A_finger_has_44_px_to_hit(string sheet, string selector, string property)
    {
        await using var page = await ServedPage.StartAsync();
        var css = await page.Client.GetStringAsync(new Uri("/assets/" + sheet, UriKind.Relative), Stop);
        var coarse = Regex.Match(css, @"@media \(pointer: coarse\) \{(.*?\})\s*\}", RegexOptions.Singleline).Groups[1].Value;
        var rem = Regex.Match(coarse, $@"{Regex.Escape(selector)} \{{[^}}]*{property}: ([0-9.]+)rem");
        Assert.True(rem.Success, $"{selector} has no {property} for fingers");
        var size = 16 * double.Parse(rem.Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture);
        Assert.InRange(property == "min-height" ? size : (2 * size) + (1.45 * 16), 44, 52);
    }

    [Fact]
    public void An_asset_that_is_not_there_can_not_be_named() =>
        Assert.Throws<InvalidOperationException>(() => PageAssets.Address("nothing.css"));

    [GeneratedRegex("(?:href|src)=\"(/assets/[^\"]+)\"")]
    private static partial Regex Named();
}
