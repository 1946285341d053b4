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
    public const string Station = "sim-river";

    private ProgramUnderTest? _program;
    private IPlaywright? _playwright;
    private IBrowser? _browser;

    /// <summary>Where the daemon's page is.</summary>
    public Uri Origin => new($"http://127.0.0.1:{Program.PagePort}");

    /// <summary>The browser.</summary>
    public IBrowser Browser => _browser!;

    /// <summary>The daemon: for commands beside the page, such as `close`, and for its state folder.</summary>
    internal ProgramUnderTest Program => _program!;

    public async ValueTask InitializeAsync()
    {
        // On a machine that does other work as well; what is there at once is not waited for.
        Assertions.SetDefaultExpectTimeout(15_000);
        _program = new ProgramUnderTest();
        await Task.WhenAll(StartDaemonAsync(), StartBrowserAsync());
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }

        _playwright?.Dispose();
        _program?.Dispose();
    }

    private async Task StartDaemonAsync()
    {
        var daemon = Program.Start("serve", "--config", Program.Configuration);
        _ = daemon.StandardOutput.ReadToEndAsync();
        await Program.PageAsync(page => page.Contains(Station, StringComparison.Ordinal));
        var begun = await Program.CallAsync("begin", Station, "--start-volume", "1.6", "--jug", "--flow", "15", "--matched", "--attended", "--yes");
        Assert.True(begun.Exit == 0, begun.Error);
        await Program.PageAsync(page => page.Contains("The valve is open", StringComparison.Ordinal));
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
