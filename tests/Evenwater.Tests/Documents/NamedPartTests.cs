using System.Text.Json;
using System.Text.RegularExpressions;
using Evenwater.Commands;
using Evenwater.Log;

namespace Evenwater.Tests.Documents;

/// <summary>What documents and messages send a reader to: a section, a command with its options, a kind of entry.</summary>
public partial class NamedPartTests
{
    [Fact]
    public void Every_link_to_a_section_leads_to_a_heading()
    {
        var links = Repository.Documents().SelectMany(document => Anchors().Matches(File.ReadAllText(document)).Select(match => (document, file: match.Groups[1].Value, section: match.Groups[2].Value)))
            .Where(link => !link.file.Contains("://", StringComparison.Ordinal)).ToList();
        Assert.True(links.Count > 8, $"only {links.Count} links were found");
        Assert.All(links, link =>
        {
            var target = link.file.Length == 0 ? link.document : Path.Combine(Path.GetDirectoryName(link.document)!, link.file);
            Assert.Contains(link.section, Headings().Matches(File.ReadAllText(target)).Select(heading => Anchor(heading.Groups[1].Value)));
        });
    }

    /// <summary>A person types what a message says: the command has to be there, and the option to be one of this command's.</summary>
    [Fact]
    public void Every_command_that_a_document_or_a_message_tells_to_run_has_the_options_it_is_told_with()
    {
        var options = Root.Create().Subcommands.ToDictionary(c => c.Name, c => c.Subcommands.Prepend(c).SelectMany(part => part.Options).Select(o => o.Name).Append("--help").ToHashSet());
        var texts = Repository.Documents().Concat(Repository.Files("src", "*.cs")).Concat(Repository.Files("src", "*.razor")).Append(Path.Combine(Repository.Root, "systemd", "evenwater-gave-up"));
        var told = texts.SelectMany(file => Calls().Matches(File.ReadAllText(file)).Select(match => (file, command: match.Groups[1].Value, said: match.Value))).ToList();
        Assert.True(told.Count > 100, $"only {told.Count} were found");
        Assert.All(told, one =>
        {
            Assert.True(options.ContainsKey(one.command), $"{one.file}: {one.said}");
            Assert.All(Option().Matches(one.said).Select(match => match.Value), option => Assert.True(options[one.command].Contains(option), $"{one.file}: {one.said}"));
        });
    }

    [Fact]
    public void Every_kind_of_event_that_the_database_gets_is_told()
    {
        var row = Repository.Text("config", "README.md").Split('\n').Single(line => line.StartsWith("| `event` |", StringComparison.Ordinal));
        Assert.All(
            Enum.GetValues<EntryKind>().Where(kind => kind is not (EntryKind.Cycle or EntryKind.Forecast)),
            kind => Assert.Contains($"`{JsonNamingPolicy.KebabCaseLower.ConvertName(kind.ToString())}`", row, StringComparison.Ordinal));
    }

    /// <summary>A look that nobody noted is not asked for for ever: both places that tell of it say so.</summary>
    [Fact]
    public void The_looks_at_the_animals_are_asked_for_as_long_as_the_document_says() =>
        Assert.Equal(2, Repository.Text("config", "using.md").Split($"noted, for {Evenwater.Core.Keeping.Arrivals.AskedDays:0} days at most").Length - 1);

    /// <summary>As the places that show Markdown make it: small letters, digits, hyphens and underscores, a hyphen for a blank.</summary>
    private static string Anchor(string heading) => Unspoken().Replace(heading.Trim().ToLowerInvariant(), "").Replace(' ', '-');

    [GeneratedRegex(@"\]\(([^)#\s]*)#([^)\s]+)\)")]
    private static partial Regex Anchors();

    [GeneratedRegex("^##+ (.+)$", RegexOptions.Multiline)]
    private static partial Regex Headings();

    [GeneratedRegex(@"[^\w\- ]")]
    private static partial Regex Unspoken();

    [GeneratedRegex("(?<=[`'>])evenwater ([a-z]+)[^`'\"<\n]*")]
    private static partial Regex Calls();

    [GeneratedRegex("(?<![\\w-])--[a-z][a-z-]+")]
    private static partial Regex Option();
}
