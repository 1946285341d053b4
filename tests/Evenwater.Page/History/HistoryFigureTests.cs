using System.Globalization;

namespace Evenwater.PageTests.History;

/// <summary>What measures frames runs beside no other test of the page.</summary>
[CollectionDefinition(nameof(HistoryFigureTests), DisableParallelization = true)]
public sealed class MeasuredYear : ICollectionFixture<YearSite>;

/// <summary>
/// How soon a year is drawn and how smoothly it moves. On a machine that does nothing else (EVENWATER_QUIET=1) it is held to what is promised; beside other work, to a sixth of that.
/// </summary>
[Collection(nameof(HistoryFigureTests))]
public sealed class HistoryFigureTests(Site site, YearSite year, ITestOutputHelper output) : PageTest(site)
{
    private const double MostMilliseconds = 500;
    private const double LeastFrames = 50;

    private static double Slack => Environment.GetEnvironmentVariable("EVENWATER_QUIET") == "1" ? 1 : 6;

    [Fact]
    public async Task A_year_is_drawn_soon_after_the_click_and_moves_smoothly()
    {
        var page = await Open(new Uri(year.Address, "/stations/sim-river/history?span=day"), Wide);
        await page.Locator("#charts[data-ready]").WaitForAsync();
        // From the click to the second frame after the lines were handed over, since the first of them draws.
        var drawn = await page.EvaluateAsync<double>("""
            () => new Promise(done => {
              const box = document.getElementById('charts');
              const begun = performance.now();
              new MutationObserver((_, watch) => {
                watch.disconnect();
                requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - begun)));
              }).observe(box, { attributeFilter: ['data-drawn'] });
              [...document.querySelectorAll('.spans a')].find(link => link.textContent === 'year').click();
            })
            """);
        var pages = await page.EvaluateAsync<double>("performance.now()");
        await page.GotoAsync(new Uri(year.Address, "/stations/sim-river/history?span=year").ToString());
        await page.Locator("#charts[data-ready]").WaitForAsync();
        var anew = await page.EvaluateAsync<double>("() => new Promise(done => requestAnimationFrame(() => done(performance.now())))");
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"a year drawn {drawn:0} ms after the click, {anew:0} ms after its page was asked for ({pages:0} ms of the first page); at most {MostMilliseconds * Slack:0} after the click"));

        // As a key that is held: 30 times a second, first a while one way, then the other.
        await page.Locator(".live").First.FocusAsync();
        await page.Keyboard.PressAsync("+");
        await page.Keyboard.PressAsync("+");
        await page.WaitForTimeoutAsync(1500);
        var frames = await page.EvaluateAsync<double>("""
            () => new Promise(done => {
              const chart = document.querySelector('.live');
              const begun = performance.now();
              let frames = 0;
              const hold = setInterval(() => chart.dispatchEvent(new KeyboardEvent('keydown', { key: performance.now() - begun < 1500 ? 'ArrowLeft' : 'ArrowRight', shiftKey: true, bubbles: true })), 33);
              requestAnimationFrame(function next(now) {
                frames++;
                if (now - begun < 3000) requestAnimationFrame(next);
                else { clearInterval(hold); done(frames / (now - begun) * 1000); }
              });
            })
            """);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"moved along for 3 s: {frames:0} frames a second; at least {LeastFrames / Slack:0}"));
        Assert.InRange(drawn, 1, MostMilliseconds * Slack);
        Assert.InRange(frames, LeastFrames / Slack, 200);
    }
}
