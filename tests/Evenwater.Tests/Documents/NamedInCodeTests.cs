using System.Text.RegularExpressions;

namespace Evenwater.Tests.Documents;

/// <summary>A document that names a type which is gone sends a newcomer looking for it.</summary>
public partial class NamedInCodeTests
{
    [Fact]
    public void What_the_developers_document_names_like_a_type_or_a_member_is_in_the_code()
    {
        var words = Words().Matches(string.Concat(new[] { "src", "tests" }
                .SelectMany(folder => new[] { "*.cs", "*.razor", "*.csproj" }.SelectMany(pattern => Repository.Files(folder, pattern)))
                .Select(File.ReadAllText)))
            .Select(match => match.Value).ToHashSet();
        var names = Names().Matches(Repository.Text("DEVELOPERS.md")).Select(match => match.Groups[1].Value).Distinct().ToList();
        Assert.True(names.Count > 80, $"only {names.Count} names were found");
        Assert.All(names, name => Assert.All(name.Split('.'), part => Assert.True(words.Contains(part), $"{name}: {part} is not in the code")));
    }

    [GeneratedRegex(@"`([A-Z][a-z]\w+(?:\.[A-Z]\w+)*)`")]
    private static partial Regex Names();

    [GeneratedRegex(@"\w+")]
    private static partial Regex Words();
}
