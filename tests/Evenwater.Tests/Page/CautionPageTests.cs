using System.Net;
using Evenwater.Core.Safety;

namespace Evenwater.Tests.Page;

public class CautionPageTests
{
    private const string Dismiss = "/api/v1/stations/sim-river/cautions/dismiss";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task The_cautions_stand_on_the_page_until_they_are_dismissed()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(2) with { CautionsShown = true });
        var html = WebUtility.HtmlDecode(await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop));
        Assert.Contains(SafetyCautions.Defers, html, StringComparison.Ordinal);
        Assert.All(SafetyCautions.All, caution => Assert.Contains(caution.Text, html, StringComparison.Ordinal));
        Assert.Contains($"action=\"{Dismiss}\"", html, StringComparison.Ordinal);

        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri(Dismiss, UriKind.Relative));
        request.Headers.Accept.ParseAdd("text/html");
        request.Headers.Add("X-Evenwater-Token", page.Token);
        var answer = await page.Client.SendAsync(request, Stop);
        Assert.DoesNotContain(SafetyCautions.Defers, WebUtility.HtmlDecode(await answer.Content.ReadAsStringAsync(Stop)), StringComparison.Ordinal);
        Assert.Equal(["sim-river"], page.Dismissed);
    }

    [Fact]
    public async Task Another_origin_dismisses_nothing_and_an_unknown_station_is_told()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(2) with { CautionsShown = true });
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri(Dismiss, UriKind.Relative));
        request.Headers.Add("Origin", "http://elsewhere.example");
        Assert.Equal(HttpStatusCode.Forbidden, (await page.Client.SendAsync(request, Stop)).StatusCode);
        var unknown = await page.PostFormAsync("/api/v1/stations/nowhere/cautions/dismiss");
        Assert.Equal(HttpStatusCode.NotFound, unknown.StatusCode);
        Assert.Empty(page.Dismissed);
    }

    [Fact]
    public async Task How_the_proof_test_stands_is_on_the_page()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(2) with { Proof = "passed on 2026-01-10 by Ann; OVERDUE since 2026-02-09." });
        Assert.Contains("Proof test: passed on 2026-01-10 by Ann; OVERDUE since 2026-02-09.", await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop), StringComparison.Ordinal);
    }
}
