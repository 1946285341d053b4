using System.Diagnostics;
using System.Text.RegularExpressions;
using Evenwater.Commands;
using Evenwater.Options;

namespace Evenwater.Tests.Documents;

/// <summary>The documents name the commands and options that there are, and the example configuration is accepted.</summary>
public partial class CommandDocumentTests
{
    [Theory]
    [InlineData("README.md")]
    [InlineData("config/using.md")]
    public void Both_documents_tell_every_command_and_no_other(string document)
    {
        var told = Row().Matches(Repository.Text(document.Split('/')).Split("## Commands")[1].Split("\n## ")[0]).Select(m => m.Groups[1].Value).Distinct().Order(StringComparer.Ordinal);
        Assert.Equal(Root.Create().Subcommands.Select(c => c.Name).Order(StringComparer.Ordinal), told);
    }

    [Theory]
    [InlineData("README.md")]
    [InlineData("config/using.md")]
    public void Every_option_a_document_names_exists(string document)
    {
        var known = Root.Create().Subcommands.SelectMany(c => c.Subcommands.Prepend(c)).SelectMany(c => c.Options).Select(o => o.Name).Append("--help").ToHashSet();
        var named = Option().Matches(Repository.Text(document.Split('/'))).Select(m => m.Value).Where(o => o is not "--project").Distinct().ToList();
        Assert.NotEmpty(named);
        Assert.All(named, option => Assert.Contains(option, known));
    }

    [Fact]
    public void The_example_configuration_is_accepted()
    {
        var reading = MainFile.Read(Path.Combine(Repository.Root, "config", "evenwater.example.json"));
        Assert.Empty(reading.Problems);
        Assert.Equal("sim-river", Assert.Single(reading.Stations).Name);
    }

    /// <summary>README's "from the source": a file that is named, and config/stations, are looked for where it is called. The web kit's own choice is the project's folder.</summary>
    [Fact]
    public async Task From_the_source_paths_are_read_from_where_it_is_called()
    {
        var info = new ProcessStartInfo("dotnet", ["msbuild", Path.Combine("src", "Evenwater", "Evenwater.csproj"), "-getProperty:RunWorkingDirectory"])
        {
            RedirectStandardOutput = true,
            WorkingDirectory = Repository.Root,
        };
        using var asked = Process.Start(info)!;
        Assert.Equal(Repository.Root, (await asked.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken)).Trim().TrimEnd('/'));
    }

    [GeneratedRegex(@"^(?:\| |- )`([a-z]+)[^`]*`(?: \| |: )", RegexOptions.Multiline)]
    private static partial Regex Row();

    [GeneratedRegex(@"--[a-z][a-z-]+")]
    private static partial Regex Option();
}
