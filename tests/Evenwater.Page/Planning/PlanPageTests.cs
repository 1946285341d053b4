using System.Text.RegularExpressions;
using Evenwater.Tests.Documents;
using Microsoft.Playwright;

namespace Evenwater.PageTests.Planning;

/// <summary>The plan's page: reckoned anew while one types, by a button without script, and one sheet on paper.</summary>
[Collection(Acts.Name)]
public sealed partial class PlanPageTests(Site site) : PageTest(site)
{
    private const string Page = $"/stations/{Site.Station}/plan";

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task The_answer_follows_what_is_typed_and_refusals_stand_by_their_field(int width)
    {
        var page = await Open(Page, width);
        await Assertions.Expect(page.Locator("p.sentence")).ToContainTextAsync("this fits: even with the tank after about 8.");
        await Axe(page);
        await FitsAcross(page);
        await Shot(page, "plan");
        await page.EvaluateAsync("window.unmoved = true");
        await page.GetByLabel("Vessel full to its brim").FillAsync("7");
        await Assertions.Expect(page.Locator("p.sentence")).ToContainTextAsync("this does not fit");
        await Assertions.Expect(page.Locator(".spoken")).ToContainTextAsync("this does not fit"); // said by what was there before (WCAG 2.2, 4.1.3)
        Assert.Contains("brim=7", page.Url, StringComparison.Ordinal);
        await page.GetByLabel("Vessel full to its brim").FillAsync("-1");
        await Assertions.Expect(page.Locator("#try-brim-why")).ToContainTextAsync("Allowed is");
        await Assertions.Expect(page.Locator("#untaken")).ToBeVisibleAsync(); // the answer still is that of 7 L
        if (width == Narrow) await Axe(page);
        // When nothing answers, what is shown is not the plan of what is typed.
        Forgive("the console says: Failed to load resource: net::ERR_FAILED");
        await page.RouteAsync("**/plan?*", route => route.AbortAsync());
        await page.GetByLabel("Vessel full to its brim").FillAsync("11");
        await Assertions.Expect(page.Locator("#unreckoned")).ToBeVisibleAsync();
        await page.UnrouteAsync("**/plan?*");
        await page.GetByLabel("Vessel full to its brim").FillAsync("11.6");
        await Assertions.Expect(page.Locator("#unreckoned")).ToBeHiddenAsync();
        await Assertions.Expect(page.Locator("#try-brim-why")).ToHaveCountAsync(0);
        await Assertions.Expect(page.Locator("#untaken")).ToBeHiddenAsync();
        Assert.True(await page.EvaluateAsync<bool>("window.unmoved === true"), "the page was loaded anew");
    }

    [Fact]
    public async Task Without_a_script_its_button_reckons_and_on_paper_it_is_a_sheet_without_the_form()
    {
        // An arrival that was taken back meanwhile, and no field for arrivals that could say so.
        Forgive("the console says: Failed to load resource: the server responded with a status of 422");
        var page = await Open($"{Page}?arrival=n77", Wide, options => options.JavaScriptEnabled = false);
        await Assertions.Expect(page.Locator(".answer").First).ToContainTextAsync("arrival: \"n77\" was given. Allowed is an arrival that stands in this station's book.");
        await page.GetByRole(AriaRole.Link, new() { Name = "As the station is" }).ClickAsync();
        await page.GetByLabel("Bag water at the start").FillAsync("2.6");
        await page.GetByLabel("You leave at").FillAsync("21:00");
        await page.GetByLabel("You are back at").FillAsync("07:00");
        await page.GetByRole(AriaRole.Button, new() { Name = "Reckon it" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Name = "While you are away" })).ToBeVisibleAsync();
        Assert.Equal("2.6", await page.GetByLabel("Bag water at the start").InputValueAsync());
        await page.EmulateMediaAsync(new() { Media = Media.Print });
        Assert.False(await page.Locator("#try").IsVisibleAsync());
        Assert.False(await page.Locator("nav").First.IsVisibleAsync());
        Assert.True(await page.Locator("svg.wide").IsVisibleAsync());
        foreach (var paper in new[] { "A4", "Letter" })
        {
            var pdf = await page.PdfAsync(new() { Format = paper, PreferCSSPageSize = false, Path = Path.Combine(Repository.Root, "TestResults", "screens", $"plan-{paper}.pdf") });
            Assert.InRange(PdfPage().Count(System.Text.Encoding.Latin1.GetString(pdf)), 1, 3);
        }
    }

    [GeneratedRegex(@"/Type\s*/Page\b(?!s)")]
    private static partial Regex PdfPage();
}
