using System.Globalization;
using Deque.AxeCore.Commons;
using Evenwater.Page;
using Evenwater.Tests.Documents;
using Evenwater.Tests.Page;
using Microsoft.Playwright;

namespace Evenwater.PageTests;

/// <summary>
/// A test with the browser: a fresh context for each test, and after each a check of all that it opened: no request left the page's own origin, no
/// script failed, and the console holds no error (where the browser tells what the page's policy forbade).
/// </summary>
/// <param name="site">The run's daemon and browser.</param>
public abstract class PageTest(Site site) : IAsyncLifetime
{
    /// <summary>A telephone, px.</summary>
    public const int Narrow = 390;

    /// <summary>A desk, px.</summary>
    public const int Wide = 1280;

    // The browser driver's own clock goes on with the machine's unless it is paused, and pausing it waits for a page that never comes to rest.
    private const string Standing = """
        (() => {
          const began = Date.now(), all = [];
          let passed = 0;
          performance.now = () => passed;
          Date.now = () => began + passed;
          window.setInterval = (act, every) => all.push({ act, every, next: passed + every });
          window.passTime = async seconds => {
            for (const end = passed + seconds * 1000; passed < end;) {
              passed += 1000;
              for (const one of all) for (; one.next <= passed; one.next += one.every) await one.act();
            }
          };
        })()
        """;

    private static readonly string s_checker = new BundledAxeScriptProvider().GetScript();

    private readonly List<(IBrowserContext Context, Watch Watch)> _opened = [];
    private readonly List<string> _forgiven = [];
    private readonly List<ServedPage> _served = [];

    /// <summary>The two widths, for a theory.</summary>
    public static TheoryData<int> Widths => [Narrow, Wide];

    /// <summary>The run's daemon and browser.</summary>
    protected Site Site => site;

    /// <summary>Whose pages are opened by their path alone: the run's daemon unless a class has one of its own.</summary>
    protected virtual Uri Origin => site.Origin;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async ValueTask DisposeAsync()
    {
        foreach (var (context, _) in _opened)
        {
            await context.DisposeAsync();
        }

        foreach (var served in _served)
        {
            await served.DisposeAsync();
        }

        GC.SuppressFinalize(this);
        Assert.DoesNotContain(_opened.SelectMany(opened => opened.Watch.Wrong), wrong => !_forgiven.Exists(start => wrong.StartsWith(start, StringComparison.Ordinal)));
    }

    /// <summary>What this test brings about itself is no fault of the page's: a server that ends, a request that is refused.</summary>
    /// <param name="start">How the complaint begins.</param>
    protected void Forgive(string start) => _forgiven.Add(start);

    /// <summary>The page alone, with made-up views, for states that the daemon is not in. It ends after the browser has left it.</summary>
    internal async Task<ServedPage> Serve(params IEnumerable<StationView> views)
    {
        var served = await ServedPage.StartAsync(views);
        _served.Add(served);
        return served;
    }

    /// <summary>A page of the daemon in a context of its own.</summary>
    /// <param name="path">Such as "/stations/sim-river".</param>
    /// <param name="width">Of the window, px; below 600 it is a telephone's, which touches.</param>
    /// <param name="change">What else the context is to be, such as dark or without script.</param>
    protected Task<IPage> Open(string path, int width, Action<BrowserNewContextOptions>? change = null) => Open(new Uri(Origin, path), width, change);

    /// <summary>A page of any server of the loopback; its origin is then the only one that may be asked.</summary>
    /// <param name="address">Of the page.</param>
    /// <param name="width">Of the window, px; below 600 it is a telephone's, which touches.</param>
    /// <param name="change">What else the context is to be, such as dark or without script.</param>
    /// <param name="inFakeTime">The page's clocks stand, and go on only by <see cref="PassAsync"/>: however long the machine takes is no time to the page.</param>
    protected async Task<IPage> Open(Uri address, int width, Action<BrowserNewContextOptions>? change = null, bool inFakeTime = false)
    {
        var options = new BrowserNewContextOptions
        {
            ViewportSize = new() { Width = width, Height = width < 600 ? 844 : 800 },
            IsMobile = width < 600,
            HasTouch = width < 600,
        };
        change?.Invoke(options);
        var context = await site.Browser.NewContextAsync(options);
        context.SetDefaultTimeout(15_000);
        _opened.Add((context, new Watch(context, address)));
        var page = await context.NewPageAsync();
        if (inFakeTime) await page.AddInitScriptAsync(Standing);
        await page.GotoAsync(address.ToString());
        return page;
    }

    /// <summary>Time passes for a page whose clocks stand; what it does every so often is done as often, each time to its end.</summary>
    protected static Task PassAsync(IPage page, int seconds) => page.EvaluateAsync("seconds => passTime(seconds)", seconds);

    /// <summary>Nothing to object to by the rules of WCAG 2.2 AA and the best practices that the checker knows; else the test fails with the list.</summary>
    internal static async Task Axe(IPage page)
    {
        // By hand and not by the checker's own driver, which for the sake of frames, of which there are none here, opens a page more each time: twice the work, and the same found.
        await page.EvaluateAsync(s_checker);
        var found = await page.EvaluateAsync<Objections>("""
            () => axe.run({
              resultTypes: ['violations'],
              runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] },
            }).then(found => ({
              applied: found.passes.length,
              said: found.violations.flatMap(rule => rule.nodes.map(node => `${rule.id}: ${rule.help}: ${node.html}`)),
            }))
            """);
        Assert.True(found.Applied > 10, $"only {found.Applied} rules of the checker were applied");
        Assert.True(found.Said.Length == 0, $"{page.Url}{Environment.NewLine}{string.Join(Environment.NewLine, found.Said)}");
        Assert.Empty(page.Frames.Skip(1));
    }

    /// <summary>A picture of the whole page, kept as TestResults/screens/NAME-WIDTH.jpg, when somebody wants to look at them: with EVENWATER_SCREENS=1. They cost a fifth of the run.</summary>
    protected static Task Shot(IPage page, string name) => Environment.GetEnvironmentVariable("EVENWATER_SCREENS") != "1" ? Task.CompletedTask : page.ScreenshotAsync(new()
    {
        FullPage = true,
        Type = ScreenshotType.Jpeg,
        Quality = 80,
        Path = Path.Combine(Repository.Root, "TestResults", "screens", string.Create(CultureInfo.InvariantCulture, $"{name}-{page.ViewportSize!.Width}.jpg")),
    });

    /// <summary>What can be tapped is 24 px at least each way (WCAG 2.2, 2.5.8; a link within a sentence is excepted), and what closes, opens or answers an alarm, or leads there, 48 px high.</summary>
    protected static async Task Targets(IPage page)
    {
        var small = await page.EvaluateAsync<string[]>("""
            [...document.querySelectorAll('a, button, input:not([type=hidden]), select, textarea, summary')].map(e => [e, e.getBoundingClientRect()])
              .filter(([e, box]) => box.width > 0 && !e.classList.contains('skip') && !(e.matches('a:not(.act)') && e.closest('p')))
              .filter(([e, box]) => box.height < (e.matches('button, a.act') ? 48 : 24) || box.width < 24)
              .map(([e, box]) => `${e.outerHTML.slice(0, 90)}: ${Math.round(box.width)} x ${Math.round(box.height)} px`)
            """);
        Assert.Empty(small);
    }

    /// <summary>Fails when one of these is not wholly in the window before anybody scrolls.</summary>
    protected static async Task AtFirstSight(IPage page, params string[] selectors)
    {
        foreach (var selector in selectors)
        {
            var box = (await page.Locator(selector).First.BoundingBoxAsync())!;
            Assert.True(box.Y >= 0 && box.Y + box.Height <= page.ViewportSize!.Height, $"{selector} lies from {box.Y:0} to {box.Y + box.Height:0} px, the window ends at {page.ViewportSize!.Height} px");
        }
    }

    /// <summary>Fails when the page is wider than its window: nobody should have to scroll sideways (WCAG 2.2, 1.4.10). And when words of a drawing are cut off at its edge.</summary>
    protected static async Task FitsAcross(IPage page)
    {
        var cut = await page.EvaluateAsync<string[]>("""
            [...document.querySelectorAll('svg text')].map(e => [e, e.getBoundingClientRect(), e.ownerSVGElement.getBoundingClientRect()])
              .filter(([, words, drawing]) => words.width > 0 && drawing.width > 0
                && (words.left < drawing.left - 1 || words.right > drawing.right + 1 || words.top < drawing.top - 1 || words.bottom > drawing.bottom + 1))
              .map(([e, words, drawing]) => `${e.textContent}: ${Math.round(words.left)} to ${Math.round(words.right)} of ${Math.round(drawing.left)} to ${Math.round(drawing.right)} px`)
            """);
        Assert.Empty(cut);
        var over = await page.EvaluateAsync<int>("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        Assert.True(over <= 0, $"{page.Url} is {over} px wider than its window of {page.ViewportSize!.Width} px");
    }

    private sealed class Objections
    {
        public int Applied { get; init; }

        public string[] Said { get; init; } = [];
    }
}
