using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Evenwater.Tests.Photographs;
using Microsoft.Playwright;

namespace Evenwater.PageTests.Journal;

/// <summary>The keeper's book in a browser: every act of it, refusals by the field, photographs; and the same for programs.</summary>
[Collection(Book.Name)]
public sealed class JournalPageTests(Site site, BookSite book) : PageTest(site)
{
    private const string Page = $"/stations/{Site.Station}/journal";

    /// <inheritdoc />
    protected override Uri Origin => book.Origin;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>Without any script: written, corrected, photographed, taken back; and script in a text stays text.</summary>
    [Theory]
    [MemberData(nameof(Widths))]
    public async Task A_note_is_written_corrected_photographed_and_taken_back(int width)
    {
        var text = $"<script>alert({width})</script> <b>iron</b>";
        var page = await Open(Page, width, options => options.JavaScriptEnabled = false);
        await page.GetByRole(AriaRole.Link, new() { Name = "Dose", Exact = true }).ClickAsync();
        await page.GetByLabel("How much").FillAsync("5");
        await page.GetByLabel("In your words").FillAsync(text);
        await page.GetByLabel("Who writes").FillAsync("Ann");
        if (width == Narrow)
        {
            // More than is taken: all that was typed stays, and what was not kept is told by its field.
            await page.GetByLabel("A photograph").First.SetInputFilesAsync(book.Large);
            await page.GetByRole(AriaRole.Button, new() { Name = "Write it" }).ClickAsync();
            await Assertions.Expect(page.Locator("#f-photograph-why")).ToContainTextAsync("\"13.0 MiB\" was given. Allowed is at most 12 MiB");
            Assert.Equal(
                ("5", text, "Ann"),
                (await page.GetByLabel("How much").InputValueAsync(), await page.GetByLabel("In your words").InputValueAsync(), await page.GetByLabel("Who writes").InputValueAsync()));
            await Shot(page, "journal-large");
        }

        await page.GetByLabel("A photograph").First.SetInputFilesAsync(Picture("camera.png", "image/png", MadePicture.Camera(MadePicture.Jpeg(900, 600), 6))); // what it is called does not count
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it" }).ClickAsync();
        var entry = page.Locator("article.noted").First;
        await Assertions.Expect(page.Locator("p.answer[role=status]")).ToContainTextAsync("stands in the book");
        await Assertions.Expect(entry.Locator(".said")).ToHaveTextAsync(text);
        await Assertions.Expect(entry.Locator(".figures")).ToHaveTextAsync("5 mL");
        await Assertions.Expect(entry.Locator("img")).ToBeVisibleAsync();

        await entry.Locator("summary").ClickAsync();
        await entry.GetByRole(AriaRole.Link, new() { Name = "Correct it" }).ClickAsync();
        await Assertions.Expect(page.GetByLabel("In your words")).ToHaveValueAsync(text);
        await page.GetByLabel("How much").FillAsync("6");
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it in place of" }).ClickAsync();
        await Assertions.Expect(entry.Locator(".figures")).ToHaveTextAsync("6 mL");
        await Assertions.Expect(entry.Locator("img")).ToBeVisibleAsync(); // a correction keeps it

        await entry.Locator("summary").ClickAsync();
        await Assertions.Expect(entry.Locator(".history")).ToContainTextAsync("5 mL");
        await entry.GetByLabel("A photograph").SetInputFilesAsync(Picture("second.jpg", "image/jpeg", MadePicture.Jpeg(300, 500)));
        await entry.GetByRole(AriaRole.Button, new() { NameRegex = new("^Add the photograph to n[0-9]+$") }).ClickAsync();
        await Assertions.Expect(entry.Locator("img")).ToHaveCountAsync(2);

        await entry.Locator("summary").ClickAsync();
        await entry.GetByRole(AriaRole.Button, new() { Name = "for good" }).First.ClickAsync();
        await Assertions.Expect(entry.Locator(".gone")).ToContainTextAsync("its file is deleted");
        await Assertions.Expect(entry.Locator("img")).ToHaveCountAsync(1);

        var id = await entry.GetAttributeAsync("id");
        await entry.Locator("summary").ClickAsync();
        await entry.GetByLabel("Why it is taken back").FillAsync("another tank");
        await entry.GetByRole(AriaRole.Button, new() { Name = $"back" }).ClickAsync();
        await Assertions.Expect(page.Locator("p.answer[role=status]")).ToContainTextAsync($"{id} is taken back");
        await Assertions.Expect(page.Locator($"[id={id}]")).ToHaveCountAsync(0);
        await page.GotoAsync(new Uri(Origin, $"{Page}?all=1&words=iron").ToString());
        await Assertions.Expect(page.Locator("article.back").First).ToContainTextAsync("another tank");
    }

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task What_is_not_taken_is_told_by_its_field_and_what_was_typed_stays(int width)
    {
        var page = await Open(Page, width);
        if (width == Narrow) await Axe(page); // its rules are about what is there, not where: each state once, and one of them wide as well
        await FitsAcross(page);
        await page.GetByRole(AriaRole.Link, new() { Name = "Water change", Exact = true }).ClickAsync();
        await page.GetByLabel("How much water").FillAsync("-3");
        await page.GetByLabel("In your words").FillAsync("gravel cleaned");
        await page.GetByLabel("Who writes").FillAsync("Ann");
        await page.GetByLabel("A photograph").First.SetInputFilesAsync(Picture("tank.jpg", "image/jpeg", "<svg xmlns='http://www.w3.org/2000/svg'/>"u8.ToArray()));
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it" }).ClickAsync();
        await Assertions.Expect(page.GetByText("Allowed is above 0, to 20000 L.")).ToBeVisibleAsync();
        Assert.Equal(("-3", "gravel cleaned"), (await page.GetByLabel("How much water").InputValueAsync(), await page.GetByLabel("In your words").InputValueAsync()));
        Assert.Equal("true", await page.GetByLabel("How much water").GetAttributeAsync("aria-invalid"));
        if (width == Narrow) await Axe(page);
        await FitsAcross(page);
        await Shot(page, "journal-refused");
        await page.GetByLabel("How much water").FillAsync("3");
        await page.GetByLabel("A photograph").First.SetInputFilesAsync(Picture("tank.jpg", "image/jpeg", "<svg xmlns='http://www.w3.org/2000/svg'/>"u8.ToArray()));
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-photograph-why")).ToContainTextAsync("no JPEG, PNG or WebP by its first bytes");
        if (width == Narrow)
        {
            // With script a file that is too large is told before it is sent.
            await page.GetByLabel("A photograph").First.SetInputFilesAsync(book.Large);
            await Assertions.Expect(page.GetByText("larger than 12 MiB").First).ToBeVisibleAsync();
            Assert.False(await page.GetByLabel("A photograph").First.EvaluateAsync<bool>("i => i.checkValidity()"));
            await FitsAcross(page);
        }

        await page.GetByLabel("A photograph").First.SetInputFilesAsync(Picture("tank.jpg", "image/jpeg", MadePicture.Grainy(2400, 1800)));
        await Assertions.Expect(page.GetByText("larger than 12 MiB").First).ToBeHiddenAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it" }).ClickAsync();
        var entry = page.Locator("article.noted").First;
        await entry.Locator("summary").ClickAsync();
        await Axe(page);
        await FitsAcross(page);
        await Shot(page, "journal");
        Assert.True(await entry.Locator("img").EvaluateAsync<int>("i => i.naturalWidth") == 1600, "the photograph is not drawn");
    }

    /// <summary>As after a start of the program anew: the token of the form is one of before.</summary>
    [Theory]
    [MemberData(nameof(Widths))]
    public async Task What_was_typed_before_the_program_started_anew_is_shown_and_sent_again(int width)
    {
        var text = $"they hide behind the stone,\nas yesterday ({width})";
        var page = await Open($"{Page}?new=observation", width); // whose script is nothing to it, and the checker needs one
        await page.GetByLabel("In your words").FillAsync(text);
        await page.GetByLabel("Who writes").FillAsync("Ann");
        await page.RouteAsync($"**{Page}", async route =>
        {
            var sent = route.Request.PostData;
            if (sent is null) await route.ContinueAsync();
            else await route.ContinueAsync(new() { PostData = System.Text.Encoding.UTF8.GetBytes(System.Text.RegularExpressions.Regex.Replace(sent, "(name=\"token\"\r\n\r\n).{10}", "$1aaaaaaaaaa")) });
        });
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it" }).ClickAsync();
        await Assertions.Expect(page.Locator("dd.said").Filter(new() { HasText = "they hide" })).ToHaveTextAsync(text);
        await Axe(page);
        await FitsAcross(page);
        await Shot(page, "journal-again");
        await page.UnrouteAsync($"**{Page}");
        await page.GetByRole(AriaRole.Button, new() { Name = "Send it again" }).ClickAsync();
        await Assertions.Expect(page.Locator("p.answer[role=status]")).ToContainTextAsync("stands in the book");
        await Assertions.Expect(page.Locator("article.noted .said").First).ToHaveTextAsync(text);
    }

    [Fact]
    public async Task Programs_read_and_write_the_book_and_a_photograph_is_nothing_but_a_picture()
    {
        using var http = new HttpClient { BaseAddress = Origin };
        var notes = $"/api/v1/stations/{Site.Station}/notes";
        for (var i = 0; i < 22; i++)
        {
            var made = await http.PostAsJsonAsync(notes, new { kind = "feed", by = "feeder", text = $"flakes {i}" }, Stop);
            Assert.Equal(HttpStatusCode.Created, made.StatusCode);
        }

        var first = await http.GetFromJsonAsync<JsonElement>(new Uri($"{notes}?words=feeder", UriKind.Relative), Stop);
        Assert.Equal((22, 20), (first.GetProperty("total").GetInt32(), first.GetProperty("notes").GetArrayLength()));
        Assert.Equal("flakes 21", first.GetProperty("notes")[0].GetProperty("note").GetProperty("text").GetString());
        var second = await http.GetFromJsonAsync<JsonElement>(new Uri($"{notes}?words=feeder&page=2", UriKind.Relative), Stop);
        Assert.Equal("flakes 0", second.GetProperty("notes")[1].GetProperty("note").GetProperty("text").GetString());

        foreach (var (body, field) in new[]
        {
            ("""{"kind":"feed","by":"x","text":"y","litres":3}""", "litres"), ("""{"kind":"feed","by":"x","text":"y","mood":1}""", "mood"), ("""{"kind":"dance","by":"x"}""", "kind"),
            ("""{"kind":"feed","text":"y"}""", "by"), ("""{"kind":"calibration","by":"x","text":"y"}""", "kind"), ("""{"kind":"other","by":"x","photographs":["../../x"]}""", "photographs"),
        })
        {
            using var content = new StringContent(body, System.Text.Encoding.UTF8, "application/json");
            var refused = await http.PostAsync(new Uri(notes, UriKind.Relative), content, Stop);
            Assert.Equal((HttpStatusCode.UnprocessableEntity, "application/problem+json"), (refused.StatusCode, refused.Content.Headers.ContentType!.MediaType));
            Assert.Equal(field, (await refused.Content.ReadFromJsonAsync<JsonElement>(Stop)).GetProperty("errors")[0].GetProperty("field").GetString());
        }

        var page = await Open(Page, Wide);
        await page.GetByRole(AriaRole.Link, new() { Name = "Other", Exact = true }).ClickAsync();
        await page.GetByLabel("Who writes").FillAsync("Ann");
        await page.GetByLabel("A photograph").First.SetInputFilesAsync(Picture("x.jpg", "text/html", MadePicture.Camera(MadePicture.Jpeg(200, 100), 1)));
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it" }).ClickAsync();
        var shown = await http.GetAsync(new Uri(Origin, await page.Locator("article.noted img").First.GetAttributeAsync("src")), Stop);
        Assert.Equal("image/jpeg", shown.Content.Headers.ContentType!.ToString());
        Assert.Equal("nosniff", Assert.Single(shown.Headers.GetValues("X-Content-Type-Options")));
        Assert.Contains("sandbox", Assert.Single(shown.Headers.GetValues("Content-Security-Policy")), StringComparison.Ordinal);
        var jpeg = await shown.Content.ReadAsByteArrayAsync(Stop);
        Assert.All(MadePicture.Markers(jpeg), marker => Assert.Contains(marker, new byte[] { 0xE0, 0xDB, 0xC0, 0xC4 }));
        Assert.Equal(HttpStatusCode.NotFound, (await http.GetAsync(new Uri($"/stations/{Site.Station}/photographs/..%2f..%2fcontrol.jpg", UriKind.Relative), Stop)).StatusCode);
    }

    private static FilePayload Picture(string name, string type, byte[] content) => new() { Name = name, MimeType = type, Buffer = content };
}
