using System.Globalization;
using Evenwater.Page.Charts;
using Evenwater.Tests.Log;
using Evenwater.Tests.Page;
using Evenwater.Tests.Store;
using Microsoft.Playwright;

namespace Evenwater.PageTests.History;

/// <summary>The history page of a year's log, looked into as a person would.</summary>
[Collection(Year.Name)]
public sealed class HistoryPageTests(Site site, YearSite year) : PageTest(site)
{
    private const string Path = "/stations/sim-river/history";

    /// <summary>German writes 52.500 for fifty-two thousand and 22,5 for twenty-two and a half (CLDR, from memory); here a point is always the decimal one.</summary>
    [Fact]
    public async Task Levels_beside_a_chart_are_written_alike_whatever_the_browsers_language()
    {
        var page = await Open(new Uri(year.Address, $"{Path}?span=hour"), Wide, context => context.Locale = "de-DE");
        await page.AddInitScriptAsync("""
            window.written = [];
            const write = CanvasRenderingContext2D.prototype.fillText;
            CanvasRenderingContext2D.prototype.fillText = function (text, ...rest) { written.push(String(text)); return write.call(this, text, ...rest); };
            """);
        await page.ReloadAsync();
        await page.Locator("#charts[data-ready]").WaitForAsync();
        var written = await page.EvaluateAsync<string[]>("written");
        Assert.Contains(written, text => text.Contains('.', StringComparison.Ordinal));
        Assert.DoesNotContain(written, text => text.Contains(',', StringComparison.Ordinal));
        Assert.Equal("52500 22.5 0", await page.EvaluateAsync<string>("import('/assets/history-data.js').then(m => [52500, 22.500000000000004, -0].map(m.level).join(' '))"));
    }

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task A_year_is_looked_into_by_buttons_by_keys_and_by_dragging_and_the_address_tells_what_is_shown(int width)
    {
        var page = await Live($"{Path}?span=year", width);
        await Assertions.Expect(page.Locator(".live canvas")).ToHaveCountAsync(2);
        await Assertions.Expect(page.Locator(".drawn:visible")).ToHaveCountAsync(0);
        await Good(page, "history-year");

        // Numbers that lie too close to be read share one, as the server has it.
        Assert.Equal(
            "10:1–3 36:4 100:5",
            await page.EvaluateAsync<string>("import('/assets/history-data.js').then(m => m.shared([10, 20, 35.9, 36, 100].map((x, i) => ({ x, number: i + 1 })), 26).map(t => `${t.x}:${t.words}`).join(' '))"));

        // By hand: "1–9" reaches from 310 to 320.2, and "10–13", kept within 352, from 318 on.
        Assert.Equal(
            "310:1–13 50:1 80:2–3",
            await page.EvaluateAsync<string>("import('/assets/history-data.js').then(m => [[...Array(9).fill(310), ...Array(4).fill(337)], [50, 80, 81]].flatMap(places => m.shared(places.map((x, i) => ({ x, number: i + 1 })), 26, words => 3.4 * words.length, 44, 352)).map(t => `${t.x}:${t.words}`).join(' '))"));

        // A float is drawn between dry and wet, a level with a little room.
        Assert.Equal(
            "-0.06 1.06 20.95 21.05",
            await page.EvaluateAsync<string>("import('/assets/history-data.js').then(m => [...m.ends('0 dry, 1 wet', 0, 0), ...m.ends('°C', 21, 21)].map(x => x.toFixed(2)).join(' '))"));

        // Where nothing was read for a week nothing is drawn, and beside it the line is.
        Assert.Equal(0, await Coloured(page, (100 + 3.5) / SummedYear.Days));
        Assert.InRange(await Coloured(page, 95.5 / SummedYear.Days), 5, 400);

        var whole = Span(page);
        await Acts(page, () => page.GetByRole(AriaRole.Button, new() { Name = "Closer" }).ClickAsync());
        Assert.Equal(whole.Days / 2, Span(page).Days, 0.1);
        await Acts(page, () => page.GetByRole(AriaRole.Button, new() { Name = "Earlier" }).ClickAsync());
        await Acts(page, () => page.GetByRole(AriaRole.Button, new() { Name = "Wider" }).ClickAsync());
        await Acts(page, () => page.GetByRole(AriaRole.Button, new() { Name = "Whole" }).ClickAsync());
        Assert.Equal(whole.From, Span(page).From);
        await Acts(page, () => page.GetByRole(AriaRole.Button, new() { Name = "Closer" }).ClickAsync());
        var closer = Span(page);
        await Acts(page, () => page.GetByRole(AriaRole.Button, new() { Name = "Later" }).ClickAsync());
        Assert.Equal(closer.From.AddDays(closer.Days / 4), Span(page).From, TimeSpan.FromHours(1));

        var chart = page.Locator(".live").First;
        await chart.FocusAsync();
        await Acts(page, () => page.Keyboard.PressAsync("0"));
        await Acts(page, () => page.Keyboard.PressAsync("+"));
        await Acts(page, () => page.Keyboard.PressAsync("Shift+ArrowLeft"));
        Assert.Equal(closer.From.AddDays(-closer.Days / 10), Span(page).From, TimeSpan.FromHours(1));
        await page.Keyboard.PressAsync("ArrowRight");
        var read = page.Locator(".readout");
        await Assertions.Expect(read).ToContainTextAsync("Vessel conductivity");
        await Assertions.Expect(read).ToHaveAttributeAsync("aria-live", "polite");
        var first = await read.TextContentAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        await Assertions.Expect(read).Not.ToHaveTextAsync(first!);
        await page.Keyboard.PressAsync("Home");
        await Assertions.Expect(read).ToContainTextAsync(Span(page).From.AddHours(1.5).ToString("ddd d MMM yyyy", CultureInfo.InvariantCulture));
        await page.Keyboard.PressAsync("End");
        await page.Keyboard.PressAsync("Escape");
        await Assertions.Expect(read).ToContainTextAsync("Point at a chart");

        // Words and figures that can not be fetched are not left standing as those of what is shown.
        Forgive("the console says: Failed to load resource: net::ERR_FAILED");
        await page.RouteAsync(new System.Text.RegularExpressions.Regex("/stations/sim-river/history"), route => route.AbortAsync());
        await Acts(page, () => page.Keyboard.PressAsync("-"));
        await Assertions.Expect(page.Locator(".sentence")).ToContainTextAsync("still of the span before: it could not be fetched");
        await page.UnrouteAllAsync();
        await Acts(page, () => page.Keyboard.PressAsync("+"));
        await Assertions.Expect(page.Locator(".sentence")).ToContainTextAsync("Each point stands for");

        if (width == Wide)
        {
            // From a quarter to a half of the chart.
            await Acts(page, () => page.Keyboard.PressAsync("0"));
            var over = (await page.Locator(".u-over").First.BoundingBoxAsync())!;
            await Acts(page, async () =>
            {
                await page.Mouse.MoveAsync(over.X + (over.Width / 4), over.Y + 50);
                await page.Mouse.DownAsync();
                await page.Mouse.MoveAsync(over.X + (over.Width / 2), over.Y + 60, new() { Steps = 5 });
                await page.Mouse.UpAsync();
            });
            Assert.Equal(whole.From.AddDays(whole.Days / 4), Span(page).From, TimeSpan.FromDays(2));
            Assert.Equal(whole.Days / 4, Span(page).Days, 2.0);
            await page.Mouse.MoveAsync(over.X + 300, over.Y + 60);
            await Assertions.Expect(read).ToContainTextAsync("Tank temperature");
            await Assertions.Expect(read).ToHaveAttributeAsync("aria-live", "off");
        }

        if (width == Narrow)
        {
            // Two fingers stretch: what was under each stays under it. Together they move it along, also while they go down the chart.
            await Acts(page, () => page.Keyboard.PressAsync("0"));
            await chart.ScrollIntoViewIfNeededAsync();
            var over = (await page.Locator(".u-over").First.BoundingBoxAsync())!;
            await Fingers(page, over, (0.4, 0.6), (0.2, 0.8), down: 0);
            await Shows(page, whole.From.AddDays(whole.Days / 3), whole.Days / 3);
            var stretched = Span(page);
            await Fingers(page, over, (0.2, 0.5), (0.4, 0.7), down: 110);
            await Shows(page, stretched.From.AddDays(-stretched.Days / 5), stretched.Days);
            var moved = Span(page);
            await Fingers(page, over, (0.3, 0.7), (0.4, 0.6), down: 110);
            await Shows(page, moved.From.AddDays(-moved.Days / 2), moved.Days * 2);
        }

        // The address alone shows the same again, and the words on the page are those of what is shown.
        var shown = Span(page);
        await Assertions.Expect(page.Locator("#take a[href^='?from']")).ToHaveAttributeAsync("href", new Uri(page.Url).Query);
        await Assertions.Expect(page.Locator(".spoken")).ToHaveTextAsync((await page.Locator(".sentence").TextContentAsync())!); // and said to who does not see it (WCAG 2.2, 4.1.3)
        var again = await Live(new Uri(page.Url).PathAndQuery, width);
        Assert.Equal(shown, Span(again));
        Assert.Equal(await page.Locator(".sentence").TextContentAsync(), await again.Locator(".sentence").TextContentAsync());
    }

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task Without_the_library_and_without_script_the_form_shows_any_span_and_lays_another_over_it(int width)
    {
        var page = await Open(new Uri(year.Plain, $"{Path}?span=week"), width, options => options.JavaScriptEnabled = false);
        await page.GetByLabel("Span", new() { Exact = true }).SelectOptionAsync("own");
        await page.GetByLabel("From", new() { Exact = false }).First.FillAsync("2026-07-18T00:00");
        await page.GetByLabel("To (may").FillAsync("2026-07-22T00:00");
        await page.GetByLabel("Laid over", new() { Exact = true }).SelectOptionAsync("week");
        await page.Locator("fieldset").First.GetByLabel("Vessel temperature").UncheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Show" }).ClickAsync();
        await Assertions.Expect(page.Locator(".sentence")).ToContainTextAsync("laid over what began at Sat 11 Jul");
        await Assertions.Expect(page.Locator(".marks li")).ToContainTextAsync(["water-change: 60 L (Kim)"]);
        Assert.Equal(3, await page.Locator("figure .picture.wide polyline.h-compared").CountAsync());
        // The step of 60 µS/cm at the water change, in figures: 260 and 200 with the season's few.
        await Assertions.Expect(page.Locator("#figures tbody tr").Nth(1)).ToContainTextAsync("Tank conductivity");
        await FitsAcross(page);

        var plain = await Open(new Uri(page.Url), width);
        await plain.Locator("#figures details summary").Last.ClickAsync();
        await Good(plain, "history-plain");
        if (width == Wide)
        {
            // A sheet of A4 with margins of 10 mm is 718 px wide (CSS: 96 px an inch).
            await plain.EmulateMediaAsync(new() { Media = Media.Print });
            await plain.SetViewportSizeAsync(718, 1000);
            Assert.Equal(0, await plain.Locator("#figures .scroll").First.EvaluateAsync<int>("table => Math.max(0, table.scrollWidth - table.clientWidth)"));
            await plain.EmulateMediaAsync(new() { Media = Media.Screen });
            await plain.SetViewportSizeAsync(Wide, 800);
        }

        await plain.GotoAsync(new Uri(year.Plain, $"{Path}?span=month").ToString());
        await Assertions.Expect(plain.GetByRole(AriaRole.Heading, new() { Name = "By the hour of the day" })).ToBeVisibleAsync();
        await Good(plain, "history-month");
        // A line that is broken by a gap is two lines.
        await plain.GotoAsync(new Uri(year.Plain, $"{Path}?span=year&channel=sim-river/tank_temperature").ToString());
        Assert.Equal(2, await plain.Locator("#charts .picture.wide polyline").CountAsync());
    }

    [Theory]
    [MemberData(nameof(Widths))]
    public async Task What_can_not_be_shown_is_told_by_the_field_and_what_was_typed_is_kept(int width)
    {
        var page = await Open(new Uri(year.Address, $"{Path}?span=own&from=2026-05-02T10:00&to=2026-05-01T10:00&channel=sim-river/tank_temperature"), width);
        await Assertions.Expect(page.Locator(".why")).ToContainTextAsync("a minute or more before the end");
        Assert.Equal("2026-05-02T10:00", await page.Locator("[name=from]").InputValueAsync());
        Assert.True(await page.GetByLabel("Tank temperature").First.IsCheckedAsync());
        await Good(page, "history-refused");
    }

    [Fact]
    public async Task A_station_that_is_watched_no_more_is_looked_at_on_another_s_page()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open()) await Night.WriteAsync(log, 600);
        await using var served = await ServedPage.StartAsync(folder.Path, new ChartLibrary(false), MadeUp.NoRun() with { Name = "other", Simulated = false });
        var page = await Open(new Uri(served.Address, "/stations/sim-river/history"), Narrow);
        await Assertions.Expect(page.Locator("p.doubt").First).ToContainTextAsync("sim-river is no longer watched. It was read last at");
        await Assertions.Expect(page.Locator("legend", new() { HasText = "sim-river, no longer watched" })).ToBeVisibleAsync();
        await Good(page, "history-left");
        await page.Locator("legend, .line-name, p.doubt").EvaluateAllAsync<int>("named => named.map(one => one.textContent = 'w'.repeat(32)).length"); // as long as a name may be
        await FitsAcross(page);
    }

    [Theory]
    [InlineData("dark")]
    [InlineData("forced")]
    public async Task Colours_are_those_of_the_person_s_choice_and_change_while_the_page_is_open(string kind)
    {
        var page = await Live($"{Path}?span=day&channel=sim-river/tank_temperature", Narrow);
        var before = await Ink(page);
        await page.EmulateMediaAsync(kind == "dark" ? new() { ColorScheme = ColorScheme.Dark } : new() { ForcedColors = ForcedColors.Active });
        if (kind == "dark") await Assertions.Expect(page.Locator("body")).ToHaveCSSAsync("color", "rgb(233, 228, 216)");
        await page.WaitForTimeoutAsync(200);
        if (kind == "dark") Assert.True(await Ink(page) > before + 100, $"the axis' ink was {before} and is {await Ink(page)}");
        await Axe(page);
        await Shot(page, $"history-{kind}");
    }

    // The brightest of the opaque pixels at the chart's left edge, where the axis' figures stand: dark ink on paper, light ink in the dark.
    private static Task<int> Ink(IPage page) => page.EvaluateAsync<int>("""
        () => {
          const canvas = document.querySelector('.live canvas');
          const { data } = canvas.getContext('2d').getImageData(0, 0, 40, canvas.height);
          let most = 0;
          for (let i = 0; i < data.length; i += 4) if (data[i + 3] > 200) most = Math.max(most, data[i]);
          return most;
        }
        """);

    /// <summary>How many pixels of a line or its band stand above one place of the first chart's axis of time, 0 to 1; grids and words have no colour.</summary>
    private static Task<int> Coloured(IPage page, double share) => page.EvaluateAsync<int>("""
        share => {
          const canvas = document.querySelector('.live canvas');
          const [whole, over] = [canvas.getBoundingClientRect(), document.querySelector('.live .u-over').getBoundingClientRect()];
          const x = Math.round((over.left - whole.left + share * over.width) * canvas.width / whole.width);
          const { data } = canvas.getContext('2d').getImageData(x, 0, 1, canvas.height);
          let coloured = 0;
          for (let i = 0; i < data.length; i += 4) if (data[i + 3] > 20 && Math.max(data[i], data[i + 1], data[i + 2]) - Math.min(data[i], data[i + 1], data[i + 2]) > 50) coloured++;
          return coloured;
        }
        """, share);

    private async Task<IPage> Live(string path, int width)
    {
        var page = await Open(new Uri(year.Address, path), width, options => options.ReducedMotion = ReducedMotion.Reduce);
        await page.Locator("#charts[data-ready]").WaitForAsync();
        return page;
    }

    /// <summary>Two fingers on a chart, from two places of its axis of time to two others, as the browser's own touch events.</summary>
    private static async Task Fingers(IPage page, LocatorBoundingBoxResult over, (double One, double Two) from, (double One, double Two) to, double down)
    {
        const int Steps = 8;
        var devtools = await page.Context.NewCDPSessionAsync(page);
        for (var step = 0; step <= Steps; step++)
        {
            var share = (double)step / Steps;
            // Both go down as they go: a browser that scrolls by two fingers would take the gesture away.
            await Send(step == 0 ? "touchStart" : "touchMove", Point(0, from.One, to.One, 20 + (down * share)), Point(1, from.Two, to.Two, 40 + (down * share)));

            object Point(int id, double a, double b, double below) => new { id, x = over.X + ((a + ((b - a) * share)) * over.Width), y = over.Y + below };
        }

        await Send("touchEnd");

        Task Send(string type, params object[] touchPoints) => devtools.SendAsync("Input.dispatchTouchEvent", new Dictionary<string, object> { ["type"] = type, ["touchPoints"] = touchPoints });
    }

    /// <summary>Waits until the address tells of this span, to a day: it tells of the ones between as well when the machine is slow.</summary>
    private static async Task Shows(IPage page, DateTimeOffset from, double days)
    {
        for (var tries = 0; tries < 80 && (Math.Abs((Span(page).From - from).TotalDays) > 1 || Math.Abs(Span(page).Days - days) > 1); tries++) await Task.Delay(50, TestContext.Current.CancellationToken);
        Assert.Equal(from, Span(page).From, TimeSpan.FromDays(1));
        Assert.Equal(days, Span(page).Days, 1.0);
    }

    /// <summary>Does it, and waits until the address tells of it.</summary>
    private static async Task Acts(IPage page, Func<Task> act)
    {
        var before = page.Url;
        await act();
        await page.WaitForFunctionAsync("before => location.href !== before", before);
    }

    private static (DateTimeOffset From, double Days) Span(IPage page)
    {
        var query = System.Web.HttpUtility.ParseQueryString(new Uri(page.Url).Query);
        var to = query["to"] is { } end ? Time(end) : SummedYear.Begin.AddDays(SummedYear.Days);
        var from = query["from"] is { } start ? Time(start) : to.AddDays(-SummedYear.Days);
        return (from, (to - from).TotalDays);

        static DateTimeOffset Time(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);
    }

    private static async Task Good(IPage page, string name)
    {
        await FitsAcross(page);
        await Axe(page);
        await Shot(page, name);
    }
}
