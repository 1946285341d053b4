using System.CommandLine;
using Evenwater.Commands;
using Evenwater.Core.Safety;
using Evenwater.Options;
using Evenwater.Tests.Options;

namespace Evenwater.Tests.Commands;

public class PlanCommandTests
{
    [Fact]
    public void A_station_that_fits_ends_with_0_and_says_so_first()
    {
        var (code, output, error) = Invoke(GoodFile.Path);
        Assert.Equal(0, code);
        Assert.Empty(error);
        var first = output.Split('\n')[0];
        Assert.StartsWith("sim-river (simulated): this fits", first, StringComparison.Ordinal);
        Assert.Contains("8.3 h", first, StringComparison.Ordinal);
        Assert.Contains("8.2 h at this rate, evaporation aside", output, StringComparison.Ordinal);
        Assert.Contains("9.8 h", output, StringComparison.Ordinal);
        Assert.Contains("killed by mains electricity", output, StringComparison.Ordinal);
        Assert.Contains("Not a safety device", output, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', output); // no colour where there is no terminal
    }

    [Fact]
    public void A_station_that_does_not_fit_ends_with_1_and_offers_other_ways()
    {
        var reading = StationFile.Parse(GoodFile.Text.Replace("\"toleranceMicrosiemensPerCm\": 40", "\"toleranceMicrosiemensPerCm\": 10", StringComparison.Ordinal));
        using var output = new StringWriter();
        Assert.Equal(1, PlanCommand.Run(reading, null, output, TextWriter.Null));
        Assert.StartsWith("sim-river (simulated): this does not fit.", output.ToString(), StringComparison.Ordinal);
        Assert.Contains("by hand once, when it is nearly at its mark", output.ToString(), StringComparison.Ordinal);
        Assert.Contains("standpipe at", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void The_cautions_are_told_until_a_first_run_has_acknowledged_them()
    {
        foreach (var cautioned in new[] { false, true })
        {
            using var output = new StringWriter();
            PlanCommand.Run(StationFile.Parse(GoodFile.Text), null, output, TextWriter.Null, cautioned);
            var unbroken = output.ToString().ReplaceLineEndings(" ");
            Assert.Equal(!cautioned, unbroken.Contains(SafetyCautions.Title, StringComparison.Ordinal));
            Assert.All(SafetyCautions.All, caution => Assert.Equal(!cautioned, unbroken.Contains($"- {caution.Topic}: ", StringComparison.Ordinal)));
        }
    }

    [Fact]
    public void Planned_draw_offs_are_listed_with_their_time_and_the_command_that_tells_them()
    {
        var output = Plan(GoodFile.Text.Replace("\"valve\":", "\"drawOffs\": [{ \"atSeconds\": 27000, \"litres\": 3.5, \"relativeSd\": 0.02 }], \"valve\":", StringComparison.Ordinal));
        Assert.Contains("3.5 L after 7.5 h, by hand; then evenwater drawn sim-river --litres 3.5", output, StringComparison.Ordinal);
        Assert.Contains("counts on none before it is told", output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_tank_without_a_probe_says_what_that_costs()
    {
        var start = GoodFile.Text.IndexOf("\"tankConductivity\"", StringComparison.Ordinal);
        var text = GoodFile.Text.Remove(start, GoodFile.Text.IndexOf('\n', start) - start);
        var output = Plan(text);
        Assert.Contains("no conductivity probe in the tank", output, StringComparison.Ordinal);
        var costs = System.Text.RegularExpressions.Regex.Match(output, @"known to between ([\d.]+) and ([\d.]+) h; with a second probe, matched in one cup, to between ([\d.]+) and ([\d.]+) h");
        Assert.True(costs.Success, output);
        var hours = costs.Groups.Values.Skip(1).Select(g => double.Parse(g.Value, System.Globalization.CultureInfo.InvariantCulture)).ToArray();
        Assert.True(hours[0] < hours[2] && hours[3] < hours[1], costs.Value);
    }

    [Fact]
    public void What_measuring_better_buys_is_shown_for_what_is_known_badly_and_not_for_the_rest()
    {
        var output = Plan(GoodFile.Text.Replace("\"gainRatioSd\": 0.003", "\"gainRatioSd\": 0.021", StringComparison.Ordinal));
        Assert.Contains("both probes in one cup", output, StringComparison.Ordinal);
        Assert.DoesNotContain("start volume with a jug", output, StringComparison.Ordinal); // it was
        Assert.DoesNotContain("both probes in one cup", Plan(GoodFile.Text), StringComparison.Ordinal);
    }

    private static string Plan(string station)
    {
        using var output = new StringWriter();
        PlanCommand.Run(StationFile.Parse(station), null, output, TextWriter.Null);
        return output.ToString();
    }

    [Fact]
    public void A_cold_room_does_not_end_in_a_match_though_the_vessel_is_large_enough()
    {
        var reading = StationFile.Parse(GoodFile.Text.Replace("\"temperatureCelsius\": 22.5", "\"temperatureCelsius\": 14", StringComparison.Ordinal));
        using var output = new StringWriter();
        Assert.Equal(1, PlanCommand.Run(reading, null, output, TextWriter.Null));
        Assert.StartsWith("sim-river (simulated): this does not end in a match.", output.ToString(), StringComparison.Ordinal);
        Assert.Contains("The conductivity will match, the temperature will stop at 17.9 °C, 5.1 °C from the tank's.", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_station_that_could_flood_says_not_to_leave_it()
    {
        var reading = StationFile.Parse(GoodFile.Text.Replace("\"intakeDepthMillimetres\": 16.6", "\"intakeDepthMillimetres\": 30", StringComparison.Ordinal));
        using var output = new StringWriter();
        Assert.Equal(0, PlanCommand.Run(reading, null, output, TextWriter.Null));
        Assert.Contains("Not to be left alone: 14.4 L could siphon", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_bad_station_ends_with_2_and_names_its_keys_on_the_error_stream()
    {
        using var error = new StringWriter();
        Assert.Equal(2, PlanCommand.Run(StationFile.Parse("{}"), null, TextWriter.Null, error));
        Assert.Contains("vessel: not given", error.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_station_that_is_nowhere_ends_with_2()
        => Assert.Equal(2, Invoke("no-such-station").Code);

    [Fact]
    public void Chosen_hours_propose_a_rate()
        => Assert.Contains("proposed", Invoke(GoodFile.Path, "--hours", "12").Output, StringComparison.Ordinal);

    [Theory]
    [InlineData("0.1")]
    [InlineData("49")]
    [InlineData("NaN")]
    [InlineData("soon")]
    public void Hours_out_of_range_are_wrong_use(string hours)
        => Assert.NotEmpty(Root().Parse(["plan", GoodFile.Path, "--hours", hours]).Errors);

    private static (int Code, string Output, string Error) Invoke(params string[] arguments)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var code = Root().Parse(["plan", .. arguments]).Invoke(new InvocationConfiguration { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }

    private static RootCommand Root() => [PlanCommand.Create()];
}
