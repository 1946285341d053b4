using System.Text.RegularExpressions;

namespace Evenwater.Tests.Documents;

public partial class DocumentTests
{
    [Fact]
    public void Every_link_between_documents_leads_to_a_file()
    {
        var links = Repository.Documents()
            .SelectMany(document => Links().Matches(File.ReadAllText(document)).Select(match => (document, target: match.Groups[1].Value)))
            .Where(link => !link.target.Contains("://", StringComparison.Ordinal))
            .ToList();
        Assert.True(links.Count > 8, $"only {links.Count} links were found");
        Assert.All(links, link => Assert.True(
            File.Exists(Path.Combine(Path.GetDirectoryName(link.document)!, link.target)) || Directory.Exists(Path.Combine(Path.GetDirectoryName(link.document)!, link.target)),
            $"{link.document} points to {link.target}, which is not there"));
    }

    [Fact]
    public void Nothing_promises_what_hobby_software_cannot()
    {
        var texts = Repository.Documents().Concat(Repository.Files("src", "*.cs")).Concat(Repository.Files("src", "*.razor")).ToList();
        Assert.True(texts.Count > 50, $"only {texts.Count} files were found");
        Assert.All(texts, file => Assert.DoesNotMatch(Promises(), File.ReadAllText(file)));
    }

    [Fact]
    public void The_readme_says_that_this_is_not_a_safety_device_and_numbers_all_cautions()
    {
        var readme = Repository.Text("README.md");
        Assert.Contains("not a safety device", readme, StringComparison.Ordinal);
        Assert.Equal(Enumerable.Range(1, 23), Numbered().Matches(readme).Take(23).Select(match => int.Parse(match.Groups[1].Value)));
    }

    [Fact]
    public void The_readme_begins_with_exactly_two_commands()
    {
        var top = Repository.Text("README.md").Split("**State of things.**")[0];
        Assert.Equal(
            ["dotnet run --project src/Evenwater -c Release -- serve", "bash tests/run"],
            Commands().Matches(top).Select(match => match.Groups[1].Value.Trim()));
    }

    [Fact]
    public void The_service_always_names_its_configuration_and_is_killed_soon_when_it_hangs()
    {
        var unit = Repository.Text("systemd", "evenwater.service").Split('\n');
        var start = Assert.Single(unit, line => line.StartsWith("ExecStart=", StringComparison.Ordinal));
        Assert.EndsWith(" serve --config /etc/evenwater/evenwater.json", start, StringComparison.Ordinal);
        Assert.Contains("Type=notify", unit);
        Assert.Contains("Restart=always", unit);
        Assert.Contains("WatchdogSec=2", unit);
        Assert.Contains("WatchdogSignal=SIGKILL", unit);
    }

    [GeneratedRegex(@"\]\(([^)#\s]+)")]
    private static partial Regex Links();

    [GeneratedRegex("fail-?safe|guarantee|leak-?proof|foolproof", RegexOptions.IgnoreCase)]
    private static partial Regex Promises();

    [GeneratedRegex(@"^(\d+)\. ", RegexOptions.Multiline)]
    private static partial Regex Numbered();

    [GeneratedRegex(@"^```sh\n(.+?)^```", RegexOptions.Multiline | RegexOptions.Singleline)]
    private static partial Regex Commands();
}
