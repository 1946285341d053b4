using System.Reflection;
using System.Text.Json;
using Evenwater.Options;

namespace Evenwater.Tests.Documents;

/// <summary>"Shows every key" is said of both examples; what one leaves out is found by refusals alone.</summary>
public class ExampleKeyTests
{
    [Theory]
    [InlineData("evenwater.example.json", typeof(MainConfiguration), "")]
    [InlineData("watch.example.json", typeof(WatchConfiguration), "askKeyFile")] // refused there
    public void An_example_shows_every_key_that_its_file_may_have(string example, Type file, string but)
    {
        var text = Repository.Text("config", example);
        Assert.All(Keys(file).Where(key => key != but), key => Assert.Contains($"\"{key}\":", text, StringComparison.Ordinal));
    }

    [Fact]
    public void What_stands_in_the_watchers_example_as_a_comment_may_be_taken_out_of_it()
    {
        var text = Repository.Text("config", "watch.example.json").Replace("// \"ring\"", "\"ring\"", StringComparison.Ordinal);
        Assert.NotEmpty(JsonSerializer.Deserialize<WatchConfiguration>(text, MainConfiguration.Json)!.Ring!);
    }

    [Fact]
    public void Every_key_of_the_daemons_own_file_is_explained()
    {
        var section = Repository.Text("config", "README.md").Split("## The daemon's own file")[1].Split("\n### ")[0];
        Assert.All(Keys(typeof(MainConfiguration)), key => Assert.Matches($@"`(\w+\.)?{key}[`.]", section));
    }

    private static IEnumerable<string> Keys(Type file) => file.GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(property => property.CanWrite)
        .SelectMany(property => (property.PropertyType.Namespace == file.Namespace ? Keys(property.PropertyType) : []).Prepend(JsonNamingPolicy.CamelCase.ConvertName(property.Name)));
}
