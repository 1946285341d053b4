using System.Globalization;
using Evenwater.Commands;
using Evenwater.Water;

namespace Evenwater.Tests.Water;

/// <summary>Every function of the water science against the published values of checks.csv, and that none is without.</summary>
public sealed class WaterCheckTests
{
    /// <summary>Held at the ends of what they were published for, and fed by callers that have checked: they refuse nothing.</summary>
    private static readonly string[] Held = ["NaturalWater.", "LinearCompensation."];

    public static TheoryData<string> Functions => [.. WaterFunction.All.Where(function => !function.IsConstant).Select(function => function.Name)];

    [Theory]
    [MemberData(nameof(Functions))]
    public void Every_function_has_a_published_value_and_meets_them_all(string name)
    {
        var checks = WaterCheck.All.Where(check => check.FunctionName == name && check.Expected != WaterCheck.Refused).ToList();
        Assert.NotEmpty(checks);
        Assert.All(checks, check => Assert.True(check.Run() is { Met: true }, $"{check}: ours {check.Run().Ours}"));
    }

    [Theory]
    [MemberData(nameof(Functions))]
    public void Every_function_refuses_what_lies_outside_what_it_was_published_for(string name)
    {
        var checks = WaterCheck.All.Where(check => check.FunctionName == name && check.Expected == WaterCheck.Refused).ToList();
        var asks = WaterFunction.Find(name)!;
        if (!Held.Any(name.StartsWith) && Example(asks) is not bool) Assert.NotEmpty(checks);
        Assert.All(checks, check => Assert.True(check.Run().Met, $"{check}: ours {check.Run().Ours}"));
    }

    [Theory]
    [MemberData(nameof(Functions))]
    public void No_function_answers_with_what_is_no_number(string name)
    {
        if (Held.Any(name.StartsWith)) return;
        var function = WaterFunction.Find(name)!;
        var inputs = ExampleInputs(name);
        for (var i = 0; i < inputs.Length; i++)
        {
            foreach (var odd in new[] { "NaN", "Infinity", "-Infinity", "1e300", "-1e300", "0", "-1e-9" })
            {
                string[] given = [.. inputs[..i], odd, .. inputs[(i + 1)..]];
                try
                {
                    Assert.All(WaterFunction.Numbers(function.Ask(given)), number => Assert.True(double.IsFinite(number.Value), $"{name} {string.Join(' ', given)}: {number}"));
                }
                catch (Exception refused) when (refused is ArgumentOutOfRangeException or FormatException)
                {
                    continue;
                }
            }
        }
    }

    [Fact]
    public void Every_row_says_where_it_comes_from_and_stands_once()
    {
        Assert.All(WaterCheck.All, check => Assert.Contains(check.Provenance, new[] { "read", "computed", "memory" }));
        Assert.All(WaterCheck.All, check => Assert.True(check.Source.Length > 8, check.ToString()));
        Assert.Equal(WaterCheck.All.Count, WaterCheck.All.DistinctBy(check => (check.Function, check.Inputs, check.Expected, check.Source)).Count());
    }

    [Theory] // half of the last printed digit
    [InlineData("35.000", 0.0005)]
    [InlineData("1413", 0.5)]
    [InlineData("0.0039", 0.00005)]
    public void What_is_allowed_is_half_of_the_last_printed_digit(string printed, double allowed)
    {
        var check = WaterCheck.Parse($"PracticalSalinity.Of,53 25,{printed},,memory,\"a book, page 1\"");
        Assert.Equal(allowed, check.Allowed, 12);
        Assert.Equal("a book, page 1", check.Source);
        var value = double.Parse(printed, CultureInfo.InvariantCulture);
        Assert.True(check.Judge(value + (0.99 * allowed)).Met);
        Assert.False(check.Judge(value + (1.01 * allowed)).Met);
        Assert.False(check.Judge(double.NaN).Met);
    }

    [Fact]
    public void The_command_prints_every_check_and_is_content()
    {
        var (code, text, _) = Told("water", "--checks");
        Assert.Equal(0, code);
        Assert.Equal(WaterCheck.All.Count + 1, text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);
        Assert.Contains($"{WaterCheck.All.Count} checks, 0 missed.", text, StringComparison.Ordinal);
        Assert.Contains("UNESCO Technical Papers in Marine Science 44", text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("PracticalSalinity.Of,53 25,35.9473,,computed,\"spoilt\"")]
    [InlineData("PracticalSalinity.Of,53 25,refused,,computed,\"spoilt\"")]
    [InlineData("PracticalSalinity.Of,53 36,35,,computed,\"spoilt\"")]
    [InlineData("Respiration.HoursUnaerated.Medium,10 8.26 3 6 0.8,11,,computed,\"a part that there is not\"")]
    public void A_missed_check_is_told_and_ends_with_one(string row)
    {
        using var output = new StringWriter();
        Assert.Equal(1, WaterCommand.Check(output, [WaterCheck.Parse(row), WaterCheck.All[0]]));
        Assert.Contains("MISSED", output.ToString(), StringComparison.Ordinal);
        Assert.Contains("2 checks, 1 missed.", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_function_answers_by_name_and_a_wrong_question_is_told()
    {
        Assert.Equal((0, "PracticalSalinity.Of 34.9473\n", ""), Told("water", "practicalsalinity.of", "53", "25"));
        Assert.Contains("MilligramsPerLitre.Low 480", Told("water", "DissolvedSolids.FromConductivity", "1000", "0.64").Output, StringComparison.Ordinal);
        Assert.Equal(2, Told("water", "PracticalSalinity.Of", "53").Code);
        Assert.Contains("millisiemensPerCm celsius", Told("water", "PracticalSalinity.Of", "53").Error, StringComparison.Ordinal);
        Assert.Contains("-2 to 35 °C", Told("water", "PracticalSalinity.Of", "53", "36").Error, StringComparison.Ordinal);
        Assert.Contains("not a number", Told("water", "PracticalSalinity.Of", "53", "warm").Error, StringComparison.Ordinal);
        Assert.Contains("24,5: not a number. Write it with a point", Told("water", "PracticalSalinity.Of", "53", "24,5").Error, StringComparison.Ordinal); // else 245
        Assert.Contains("no such function", Told("water", "Salt.Of").Error, StringComparison.Ordinal);
        Assert.Contains("SeaWater35", Told("water", "StandardConductivity.MicrosiemensPerCm", "Sold1412", "25").Error, StringComparison.Ordinal);
        Assert.Contains("PracticalSalinity.Of millisiemensPerCm celsius", Told("water").Output, StringComparison.Ordinal);
    }

    /// <summary>Two functions are held where their tables end, for callers that have looked; a person was given the figure as if it were published.</summary>
    [Theory]
    [InlineData("NaturalWater.FactorTo25", "celsius = 40: outside what this was published for", "40")]
    [InlineData("NaturalWater.To25", "celsius = -3: outside what this was published for", "1000", "-3")]
    [InlineData("UnionisedAmmonia.Fraction", "celsius = 55: outside what this was published for", "8", "55")]
    [InlineData("NaturalWater.FactorTo25", "", "35.9")]
    [InlineData("NaturalWater.IsInRange", "", "40")]
    [InlineData("PracticalSalinity.Of", "", "53", "25")]
    public void A_figure_from_beyond_the_published_range_says_so(string function, string told, params string[] inputs)
    {
        var (code, output, error) = Told(["water", function, "--", .. inputs]);
        Assert.Equal(0, code);
        Assert.NotEmpty(output);
        if (told.Length == 0) Assert.Empty(error);
        else Assert.StartsWith(told, error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("NaturalWater.FactorTo25", "NaN")]
    [InlineData("LinearCompensation.FactorTo25", "Infinity", "0.02")]
    public void What_is_no_number_is_refused_also_where_a_function_refuses_nothing(string function, params string[] inputs)
    {
        var (code, output, error) = Told(["water", function, .. inputs]);
        Assert.Equal((2, ""), (code, output));
        Assert.Contains("not a number", error, StringComparison.Ordinal);
    }

    private static (int Code, string Output, string Error) Told(params string[] arguments)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var code = Root.Create().Parse(arguments).Invoke(new() { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }

    private static string[] ExampleInputs(string name) => WaterCheck.All.First(check => check.FunctionName == name && check.Expected != WaterCheck.Refused).InputList;

    private static object Example(WaterFunction function) => function.Ask(ExampleInputs(function.Name));
}
