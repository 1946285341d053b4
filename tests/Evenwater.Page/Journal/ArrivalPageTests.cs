using Microsoft.Playwright;

namespace Evenwater.PageTests.Journal;

/// <summary>An arrival is written on its page, and how it fared.</summary>
[Collection(Book.Name)]
public sealed class ArrivalPageTests(Site site, BookSite book) : PageTest(site)
{
    /// <inheritdoc />
    protected override Uri Origin => book.Origin;

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task An_arrival_and_how_they_are_is_written_and_planned_for(int width)
    {
        var page = await Open($"/stations/{Site.Station}/arrival", width);
        await page.GetByLabel("Which, in your words").FillAsync($"pond snails {width}");
        await page.GetByLabel("How many", new() { Exact = true }).FillAsync("12");
        await page.GetByLabel("Conductivity at 25 °C").FillAsync("405");
        await page.Locator("#came-ph").FillAsync("6.8");
        await page.Locator("#came-by").FillAsync("Ann");
        // A number that the browser itself would not let through is the server's to refuse as well.
        await page.Locator("#came form").EvaluateAsync("form => { form.noValidate = true; form.elements.temperature.value = '77'; }");
        await page.GetByRole(AriaRole.Button, new() { Name = "Write the arrival" }).ClickAsync();
        await Assertions.Expect(page.Locator("#came-temperature-why")).ToContainTextAsync("-2 to 45 °C");
        Assert.Equal("405", await page.GetByLabel("Conductivity at 25 °C").InputValueAsync());
        if (width == Narrow) await Axe(page);
        await FitsAcross(page);
        await page.GetByLabel("Temperature").FillAsync("19.5");
        await page.GetByRole(AriaRole.Button, new() { Name = "Write the arrival" }).ClickAsync();
        await Assertions.Expect(page.Locator("p.sentence")).ToContainTextAsync($"12 × pond snails {width} came at");
        await page.GetByLabel("How many live").FillAsync("12");
        await page.GetByLabel("How many have died until then").FillAsync("1");
        await page.Locator("#fared-by").FillAsync("Ann");
        await page.GetByRole(AriaRole.Button, new() { Name = "Write how they are" }).ClickAsync();
        await Assertions.Expect(page.Locator("#fared-dead-why")).ToContainTextAsync("at most the 12 that came");
        await page.GetByLabel("How many have died until then").FillAsync("0");
        await page.GetByRole(AriaRole.Button, new() { Name = "Write how they are" }).ClickAsync();
        await Assertions.Expect(page.Locator("p.sentence")).ToContainTextAsync("released at");
        await Axe(page);
        await FitsAcross(page);
        await Shot(page, "arrival");
        await page.GetByRole(AriaRole.Link, new() { Name = "Plan for it" }).First.ClickAsync();
        await Assertions.Expect(page.GetByLabel("Bag, conductivity at 25 °C")).ToHaveValueAsync("405");
    }

    /// <summary>Names are told in words, and people tell them in many.</summary>
    [Theory]
    [MemberData(nameof(Widths))]
    public async Task An_arrival_with_a_name_as_long_as_may_be_fits_every_page_that_names_it(int width)
    {
        using var http = new HttpClient { BaseAddress = Origin };
        using var made = await System.Net.Http.Json.HttpClientJsonExtensions.PostAsJsonAsync(
            http, $"/api/v1/stations/{Site.Station}/notes", new { kind = "arrival", by = new string('y', 64), arrival = new { species = new string('W', 200), count = 100_000 } }, TestContext.Current.CancellationToken);
        Assert.True(made.IsSuccessStatusCode, await made.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        var page = await Open($"/stations/{Site.Station}", width);
        foreach (var end in new[] { "plan", "arrival", "journal", "did", "history" })
        {
            await page.GotoAsync(new Uri(Origin, $"/stations/{Site.Station}/{end}").ToString());
            await Assertions.Expect(page.Locator("footer")).ToBeVisibleAsync();
            await FitsAcross(page);
        }
    }
}
