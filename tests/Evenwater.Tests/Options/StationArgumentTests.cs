using Evenwater.Options;

namespace Evenwater.Tests.Options;

public sealed class StationArgumentTests : IDisposable
{
    private readonly string _first = Directory.CreateTempSubdirectory("evenwater-test-").FullName;
    private readonly string _second = Directory.CreateTempSubdirectory("evenwater-test-").FullName;

    public void Dispose()
    {
        Directory.Delete(_first, recursive: true);
        Directory.Delete(_second, recursive: true);
    }

    [Fact]
    public void A_name_is_looked_for_in_the_folders_in_order()
    {
        File.WriteAllText(Path.Combine(_second, "sim-river.json"), GoodFile.Text);
        Assert.Equal(Path.Combine(_second, "sim-river.json"), StationArgument.Resolve("sim-river", [_first, _second]));
        File.WriteAllText(Path.Combine(_first, "sim-river.json"), GoodFile.Text);
        Assert.Equal(Path.Combine(_first, "sim-river.json"), StationArgument.Resolve("sim-river", [_first, _second]));
        Assert.Equal("sim-river", StationArgument.Read("sim-river", [_first, _second]).Station?.Name);
    }

    [Fact]
    public void A_path_is_taken_as_it_is() => Assert.NotNull(StationArgument.Read(GoodFile.Path, []).Station);

    [Fact]
    public void A_name_that_is_nowhere_lists_what_is_there()
    {
        File.WriteAllText(Path.Combine(_second, "sim-river.json"), GoodFile.Text);
        var problem = Assert.Single(StationArgument.Read("sim-rivre", [_first, _second]).Problems);
        Assert.Contains("sim-river", problem.Advice, StringComparison.Ordinal);
        Assert.Contains(_first, problem.Advice, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData(" ")]
    [InlineData("a\0b")]
    [InlineData("/a\0b.json")]
    public void An_argument_that_cannot_be_a_file_is_a_problem(string argument)
        => Assert.NotEmpty(StationArgument.Read(argument, [_first]).Problems);
}
