using System.Net;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Microsoft.Playwright;

namespace Evenwater.PageTests;

/// <summary>The checks that follow every test see what they are there for.</summary>
public sealed class HarnessTests(Site site)
{
    [Theory]
    [InlineData("<img src='http://127.0.0.2:9/x.png' alt=''>", "default-src *", "asked elsewhere: http://127.0.0.2:9/x.png")]
    [InlineData("<script>alert(1)</script>", "default-src 'none'", "the console says: Executing inline script violates")]
    [InlineData("<script>throw new Error('torn')</script>", "default-src * 'unsafe-inline'", "a script failed: Error: torn")]
    [InlineData("<img src='/gone.png' alt=''>", "default-src *", "the console says: Failed to load resource: the server responded with a status of 404")]
    [InlineData("<p>nothing wrong</p>", "default-src 'none'; img-src data:", null)]
    public async Task What_a_page_should_not_do_is_told(string body, string policy, string? told)
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.ConfigureKestrel(k => k.Listen(IPAddress.Loopback, 0));
        await using var app = builder.Build();
        app.MapGet("/", http =>
        {
            http.Response.ContentType = "text/html; charset=utf-8";
            http.Response.Headers.ContentSecurityPolicy = policy;
            return http.Response.WriteAsync($"<!DOCTYPE html><html lang=en><head><title>x</title><link rel=icon href='data:,'></head><body>{body}</body></html>");
        });
        await app.StartAsync(TestContext.Current.CancellationToken);
        var own = new Uri(app.Urls.First());
        await using var context = await site.Browser.NewContextAsync();
        var watch = new Watch(context, own);
        var page = await context.NewPageAsync();
        await page.GotoAsync(own.ToString(), new() { WaitUntil = WaitUntilState.NetworkIdle });
        if (told is null) Assert.Empty(watch.Wrong);
        else Assert.Contains(watch.Wrong, wrong => wrong.StartsWith(told, StringComparison.Ordinal));
    }

    /// <summary>What the checker is told to leave out of its answer is not what it objects to.</summary>
    [Theory]
    [InlineData("<main><h1>x</h1><img src='data:,'></main>", "image-alt")]
    [InlineData("<main><h1>x</h1><p style='color:#aaa;background:#fff'>pale</p></main>", "color-contrast")]
    [InlineData("<main><h1>x</h1><p>nothing wrong</p></main>", null)]
    public async Task What_a_checker_of_accessibility_objects_to_turns_a_test_red(string body, string? rule)
    {
        await using var context = await site.Browser.NewContextAsync();
        var page = await context.NewPageAsync();
        await page.SetContentAsync($"<!DOCTYPE html><html lang=en><head><title>x</title></head><body>{body}</body></html>");
        var said = await Record.ExceptionAsync(() => PageTest.Axe(page));
        if (rule is null) Assert.Null(said);
        else Assert.Contains(rule + ":", said?.Message, StringComparison.Ordinal);
    }
}
