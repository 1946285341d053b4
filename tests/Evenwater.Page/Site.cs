using Evenwater.PageTests;
using Evenwater.Tests.Daemon;
using Evenwater.Tests.Servers;
using Microsoft.Playwright;

[assembly: AssemblyFixture(typeof(Site))]

namespace Evenwater.PageTests;

/// <summary>
/// What all tests of one run share: one real daemon with a simulated station that drips, and one real browser.
/// </summary>
public sealed class Site : IAsyncLifetime
{
    /// <summary>The daemon's station.</summary>
    public const string Station = DrippingDaemon.Station;

    private DrippingDaemon? _daemon;
    private IPlaywright? _playwright;
    private IBrowser? _browser;

    /// <summary>Where the daemon's page is.</summary>
    public Uri Origin => _daemon!.Origin;

    /// <summary>The browser.</summary>
    public IBrowser Browser => _browser!;

    /// <summary>The daemon: for commands beside the page, such as `close`, and for its state folder.</summary>
    internal ProgramUnderTest Program => _daemon!.Program;

    public async ValueTask InitializeAsync()
    {
        // On a machine that does other work as well; what is there at once is not waited for.
        Assertions.SetDefaultExpectTimeout(15_000);
        _daemon = new DrippingDaemon();
        await Task.WhenAll(_daemon.BeginAsync(), StartBrowserAsync());
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }

        _playwright?.Dispose();
        _daemon?.Dispose();
    }

    private async Task StartBrowserAsync()
    {
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new()
        {
            ExecutablePath = ServerProcess.Find("chromium-headless-shell", "chromium-headless-shell"),
            Args =
            [
                "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
                "--disable-component-update", "--disable-sync",
            ],
        });
    }
}
