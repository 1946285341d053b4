using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Evenwater.Page.Charts;
using Evenwater.Tests.Documents;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Page;

/// <summary>
/// The chart library is the one that the lock file names. Of the archive npm checks the lock's integrity; of the two files in it that are served the digests stand in
/// the build, and are looked at here as they come out of the server. A build without it has the server's charts alone, and says nothing of it in its pages.
/// </summary>
public sealed class ChartLibraryTests
{
    private static readonly string s_folder = Path.Combine(Repository.Root, "src", "Evenwater");

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public void The_lock_names_one_package_with_its_digest_and_nobody_s_address()
    {
        var text = File.ReadAllText(Path.Combine(s_folder, "package-lock.json"));
        var packages = JsonDocument.Parse(text).RootElement.GetProperty("packages").EnumerateObject().Where(one => one.Name.Length > 0).ToList();
        var library = Assert.Single(packages);
        Assert.Equal("1.6.32", library.Value.GetProperty("version").GetString());
        Assert.StartsWith("sha512-", library.Value.GetProperty("integrity").GetString(), StringComparison.Ordinal);
        Assert.DoesNotContain("://", text, StringComparison.Ordinal);
        Assert.Contains("\"uplot\": \"1.6.32\"", File.ReadAllText(Path.Combine(s_folder, "package.json")), StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_served_is_that_version_with_its_licence_or_nothing_of_it()
    {
        await using var page = await ServedPage.StartAsync();
        using var script = await page.Client.GetAsync(new Uri("/assets/uplot.js", UriKind.Relative), Stop);
        Assert.Equal(ChartLibrary.Built.IsThere, script.IsSuccessStatusCode);
        if (!ChartLibrary.Built.IsThere) return;
        var bytes = await script.Content.ReadAsByteArrayAsync(Stop);
        Assert.Contains("(v1.6.32)", Encoding.UTF8.GetString(bytes.AsSpan(0, 100)), StringComparison.Ordinal);
        var build = await File.ReadAllTextAsync(Path.Combine(s_folder, "ChartLibrary.targets"), Stop);
        foreach (var name in new[] { "uplot.js", "uplot.css" })
        {
            Assert.Contains(Convert.ToHexStringLower(SHA256.HashData(await page.Client.GetByteArrayAsync(new Uri($"/assets/{name}", UriKind.Relative), Stop))), build, StringComparison.Ordinal);
        }

        Assert.Contains("MIT License", await page.Client.GetStringAsync(new Uri("/assets/uplot-licence.txt", UriKind.Relative), Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Without_the_library_the_page_has_the_same_charts_drawn_by_the_server_and_no_script()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open()) await Night.WriteAsync(log, 600);
        foreach (var library in new[] { new ChartLibrary(false), ChartLibrary.Built })
        {
            await using var page = await ServedPage.StartAsync(folder.Path, library, MadeUp.Night(1) with { Now = LogFolder.Evening.AddMinutes(10) });
            var html = await page.Client.GetStringAsync(new Uri("/stations/sim-river/history?span=hour", UriKind.Relative), Stop);
            Assert.Equal(library.IsThere, html.Contains("history.js", StringComparison.Ordinal));
            Assert.Equal(library.IsThere, html.Contains("uplot", StringComparison.Ordinal));
            Assert.Equal(4, html.Split("<svg xmlns").Length - 1);
            Assert.True(html.Split("h-band h-").Length > 4, "no bands are drawn");
        }
    }
}
