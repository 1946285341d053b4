using System.CommandLine;
using Evenwater.Commands;

namespace Evenwater.Tests.Commands;

/// <summary>What is wrong on the command line is told with its key, its value and what is allowed.</summary>
public sealed class MistakesTests
{
    private const string NoNumber = "not a number. Write it with a point and without any comma, such as 2.5.";

    /// <summary>Taken for a mark between thousands, "2,5" is twenty-five: ten times the water.</summary>
    [Theory]
    [InlineData("drawn tank --litres 2,5", $"--litres = 2,5: {NoNumber}")]
    [InlineData("drawn tank --litres 1,000", $"--litres = 1,000: {NoNumber}")]
    [InlineData("begin tank --start-volume 1,6 --tank 185", $"--start-volume = 1,6: {NoNumber}")]
    [InlineData("plan tank --hours 4,5", $"--hours = 4,5: {NoNumber}")]
    [InlineData("calibrate tank load-cell --litres 0 2,5 5", $"--litres = 2,5: {NoNumber}")]
    [InlineData("tank test tank NO3 2,5", $"VALUE = 2,5: {NoNumber}")]
    public void A_number_with_a_comma_is_refused(string words, string expected) => Assert.Equal([expected], Of(words));

    /// <summary>They are neither above nor below any limit, so rules let them by; the note of one had ended in a stack trace.</summary>
    [Theory]
    [InlineData("journal tank --add water-change x --litres NaN", $"--litres = NaN: {NoNumber}")]
    [InlineData("tank test tank NO3 nan --step 5", $"VALUE = nan: {NoNumber}")]
    [InlineData("arrival tank --add fish --count 3 --ph 1e999", $"--ph = 1e999: {NoNumber}")]
    [InlineData("calibrate tank load-cell --litres 0 Infinity 5", $"--litres = Infinity: {NoNumber}")]
    public void A_number_that_is_none_is_refused(string words, string expected) => Assert.Equal([expected], Of(words));

    [Theory]
    [InlineData("drawn tank --litres two", $"--litres = two: {NoNumber}")]
    [InlineData("tank test tank NO3 abc", $"VALUE = abc: {NoNumber}")]
    [InlineData("rehearse tank --seed x", "--seed = x: not a whole number, 0 or more.")]
    [InlineData("finish tank --alive 3.5", "--alive = 3.5: not a whole number, such as 3.")]
    [InlineData("frobnicate", "'frobnicate' is not understood.")]
    [InlineData("plan tank --nope 3", "'--nope 3' is not understood.")]
    [InlineData("rehearse tank --picture-at 3", "--picture-at goes with --picture FILE, and nothing would be drawn without it. Name the file too, or leave both out.")]
    [InlineData("plan tank --hours 100", "--hours 100: allowed are 0.5 to 48 h.")]
    public void What_can_not_be_read_is_told_by_its_key_and_value(string words, string expected) => Assert.Equal([expected], Of(words));

    [Theory]
    [InlineData("plan", "plan: STATION is missing: ")]
    [InlineData("rehearse tank --seed", "rehearse: --seed is missing: ")]
    [InlineData("drawn tank", "drawn: --litres is missing: ")]
    public void What_is_missing_is_told_by_its_name_and_what_it_is(string words, string begins)
    {
        var said = Assert.Single(Of(words));
        Assert.StartsWith(begins, said, StringComparison.Ordinal);
        Assert.True(said.Length > begins.Length + 10, said);
    }

    /// <summary>What a script leaves of a variable that was never set; it had ended in a stack trace.</summary>
    [Theory]
    [InlineData("--out", "export", "--log", "x", "--as", "csv", "--out", "")]
    [InlineData("--log", "import", "--log", "", "night.gz")]
    [InlineData("FILE", "import", "--log", "x", "")]
    [InlineData("DIR", "score", "")]
    [InlineData("--config", "serve", "--config", "")]
    public void A_file_without_a_name_is_told(string name, params string[] words) =>
        Assert.StartsWith($"{name} is empty: ", Assert.Single(Mistakes.Of(Root.Create().Parse(words))), StringComparison.Ordinal);

    [Theory]
    [InlineData("drawn tank --litres 2.5")]
    [InlineData("calibrate tank load-cell --litres 0 2.5 5")]
    [InlineData("journal tank --add dose \"iron, and more\" --amount 5mL")]
    [InlineData("rehearse tank --picture x.svg --picture-at 3")]
    [InlineData("rehearse tank")]
    [InlineData("drawn --help")]
    public void What_is_right_is_understood(string words) => Assert.Empty(Of(words));

    [Fact]
    public void No_help_says_that_may_be_left_out_what_may_not()
    {
        var said = Commands(Root.Create()).SelectMany(command => command.Arguments.Select(argument => (command, argument)))
            .Where(one => one.argument.Description!.Contains("may be left out", StringComparison.Ordinal)).ToList();
        Assert.True(said.Count > 10);
        Assert.All(said, one => Assert.True(one.argument.Arity.MinimumNumberOfValues == 0, $"{one.command.Name} {one.argument.Name}"));

        static IEnumerable<Command> Commands(Command command) => command.Subcommands.SelectMany(Commands).Prepend(command);
    }

    private static IReadOnlyList<string> Of(string words) => Mistakes.Of(Root.Create().Parse(words));
}
