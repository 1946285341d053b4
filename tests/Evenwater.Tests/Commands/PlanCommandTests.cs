using System.CommandLine;
using System.Globalization;
using Evenwater.Commands;
using Evenwater.Core.Calibration;
using Evenwater.Core.Estimation;
using Evenwater.Core.Keeping;
using Evenwater.Core.Planning;
using Evenwater.Core.Quantities;
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
        Assert.DoesNotContain("evaporation aside", output, StringComparison.Ordinal); // the figures only when more is asked for
        var (_, more, _) = Invoke(GoodFile.Path, "--more");
        Assert.Contains("8.2 h at this rate, evaporation aside", more, StringComparison.Ordinal);
        Assert.Contains("9.8 h", more, StringComparison.Ordinal);
        Assert.Contains("killed by mains electricity", output, StringComparison.Ordinal);
        Assert.Contains("Not a safety device", output, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', output); // no colour where there is no terminal
    }

    [Fact]
    public void A_station_that_does_not_fit_ends_with_1_and_offers_other_ways()
    {
        var reading = StationFile.Parse(GoodFile.Text.Replace("\"toleranceMicrosiemensPerCm\": 40", "\"toleranceMicrosiemensPerCm\": 10", StringComparison.Ordinal));
        using var output = new StringWriter();
        Assert.Equal(1, PlanCommand.Run(reading, new(), TimeProvider.System, default, output, TextWriter.Null));
        Assert.StartsWith("sim-river (simulated): this does not fit.", output.ToString(), StringComparison.Ordinal);
        Assert.All(["a larger vessel", "a standpipe at", "draw-offs? by hand", "less bag water", "partial, "], way => Assert.Matches($"(?m)^ [2-9] .*{way}", output.ToString()));
    }

    [Fact]
    public void That_the_valve_closes_as_planned_is_told_of_a_plan_alone_that_comes_so_far()
    {
        Assert.Contains("even, valve closes", Told("\"maxOpenMinutes\": 780", "\"maxOpenMinutes\": 780"), StringComparison.Ordinal);
        Assert.Contains("even, valve closes", Told("\"maxOpenMinutes\": 780", "\"maxOpenMinutes\": 780", "00:30"), StringComparison.Ordinal); // only later than wished
        var tight = Told("\"maxOpenMinutes\": 780", "\"maxOpenMinutes\": 300"); // even after 8.3 h, closed after five
        Assert.Contains("The time budget of 5.0 h ends before the match", tight, StringComparison.Ordinal);
        Assert.DoesNotContain("even, valve closes", tight, StringComparison.Ordinal);
        Assert.Contains("even, if it came so far", tight, StringComparison.Ordinal);

        static string Told(string was, string becomes, string? by = null)
        {
            using var output = new StringWriter();
            PlanCommand.Run(StationFile.Parse(GoodFile.Text.Replace(was, becomes, StringComparison.Ordinal)), new(By: by), TimeProvider.System, default, output, TextWriter.Null);
            return output.ToString();
        }
    }

    [Fact]
    public void A_plan_is_of_the_station_as_it_was_calibrated_since_its_file_was_written()
    {
        var evening = new DateTimeOffset(2026, 3, 14, 20, 0, 0, TimeSpan.Zero);
        CalibrationRecord Made(string key, double after) => new("drip", evening, "Ann", "", [new(key, "mL", 0.05, after, 0.001)], evening.AddDays(90));
        var file = StationFile.Parse(GoodFile.Text);
        Assert.Equal(0.05, file.Station!.Drip.DropMillilitres); // 15 mL/min are 300 drops of it
        Assert.Contains("300 drops", Plan(null), StringComparison.Ordinal);
        var calibrated = Plan(Made("drip.dropMillilitres", 0.06));
        Assert.Contains("250 drops", calibrated, StringComparison.Ordinal);
        Assert.Contains("As calibrated since the station file was written: drip.dropMillilitres 0.05 → 0.06 mL.", calibrated, StringComparison.Ordinal);
        Assert.Contains("is left out", Plan(Made("drip.dropMillilitres", -1)), StringComparison.Ordinal);

        string Plan(CalibrationRecord? made)
        {
            var book = Book.Of(made is null ? [] : [new Note { Id = "n1", Kind = NoteKind.Calibration, By = "Ann", At = evening, Calibration = made }]);
            using var output = new StringWriter();
            PlanCommand.Run(file, new(More: true), TimeProvider.System, (book, null), output, TextWriter.Null);
            return output.ToString();
        }
    }

    [Fact]
    public void The_cautions_are_told_until_a_first_run_has_acknowledged_them()
    {
        foreach (var cautioned in new[] { false, true })
        {
            using var output = new StringWriter();
            PlanCommand.Run(StationFile.Parse(GoodFile.Text), new(), TimeProvider.System, default, output, TextWriter.Null, cautioned);
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
        var hours = costs.Groups.Values.Skip(1).Select(g => double.Parse(g.Value, CultureInfo.InvariantCulture)).ToArray();
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
        PlanCommand.Run(StationFile.Parse(station), new(More: true), TimeProvider.System, default, output, TextWriter.Null);
        return output.ToString();
    }

    [Fact]
    public void A_cold_room_does_not_end_in_a_match_though_the_vessel_is_large_enough()
    {
        var reading = StationFile.Parse(GoodFile.Text.Replace("\"temperatureCelsius\": 22.5", "\"temperatureCelsius\": 14", StringComparison.Ordinal));
        using var output = new StringWriter();
        Assert.Equal(1, PlanCommand.Run(reading, new(), TimeProvider.System, default, output, TextWriter.Null));
        Assert.StartsWith("sim-river (simulated): this does not end in a match.", output.ToString(), StringComparison.Ordinal);
        Assert.Contains("The conductivity will match, the temperature will stop at 17.9 °C, 5.1 °C from the tank's.", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_station_that_could_flood_says_not_to_leave_it()
    {
        var reading = StationFile.Parse(GoodFile.Text.Replace("\"intakeDepthMillimetres\": 16.6", "\"intakeDepthMillimetres\": 30", StringComparison.Ordinal));
        using var output = new StringWriter();
        Assert.Equal(0, PlanCommand.Run(reading, new(), TimeProvider.System, default, output, TextWriter.Null));
        Assert.Contains("Not to be left alone: 14.4 L could siphon", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_bad_station_ends_with_2_and_names_its_keys_on_the_error_stream()
    {
        using var error = new StringWriter();
        Assert.Equal(2, PlanCommand.Run(StationFile.Parse("{}"), new(), TimeProvider.System, default, TextWriter.Null, error));
        Assert.Contains("vessel: not given", error.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_station_that_is_nowhere_ends_with_2()
        => Assert.Equal(2, Invoke("no-such-station").Code);

    [Fact]
    public void Chosen_hours_propose_a_rate()
        => Assert.Contains("proposed", Invoke(GoodFile.Path, "--hours", "12", "--more").Output, StringComparison.Ordinal);

    [Fact]
    public void The_hours_are_told_by_the_local_clock_and_a_wished_one_is_judged()
    {
        // 20:30 in Vienna; even and the dwell take 8.44 h, sure of it after 8.75 h (rehearsed nights: 8.73): 05:15 on Sunday.
        var output = At("2026-11-28T19:30:00Z", new());
        Assert.Contains("Begun at 20:30 it is ready at Sun 05:15, once that is sure; ", output, StringComparison.Ordinal);
        Assert.Contains("this fits, but not in time", At("2026-11-28T19:30:00Z", new(By: "02:00")), StringComparison.Ordinal);
        Assert.Contains("faster, ", At("2026-11-28T19:30:00Z", new(By: "02:00")), StringComparison.Ordinal);
        Assert.Contains("Begun at 22:00 it is ready at Sun 06:45, ", At("2026-11-28T19:30:00Z", new(Start: "22:00")), StringComparison.Ordinal);
        // The clock is set back at 03:00 on 25 October: 8.75 h after 20:30 are 04:15.
        Assert.Contains("ready at Sun 04:15, ", At("2026-10-24T18:30:00Z", new()), StringComparison.Ordinal);
    }

    [Fact]
    public void What_the_journal_says_against_it_comes_first_of_what_to_mind()
    {
        using var output = new StringWriter();
        var time = new Vienna("2026-11-28T19:30:00Z");
        var book = Book.Of([new Note { Id = "n4", Kind = NoteKind.Medication, At = time.GetUtcNow().AddDays(-9), By = "keeper", Text = "copper against velvet" }]);
        PlanCommand.Run(StationFile.Parse(GoodFile.Text), new(), time, (book, null), output, TextWriter.Null);
        Assert.Contains("Mind\n- The journal has \"copper against velvet\" (medication, n4, 9 days ago). Snails", output.ToString().ReplaceLineEndings("\n"), StringComparison.Ordinal);
        PlanCommand.Run(StationFile.Parse(GoodFile.Text), new(), time, (null, "the disk is gone"), output, TextWriter.Null);
        Assert.Contains("The journal could not be read, so nothing is said of remedies or tests: the disk is gone", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Being_away_is_told_late_and_with_twice_the_drip()
    {
        var output = At("2026-11-28T19:30:00Z", new(Leave: "22:00", Back: "07:00"));
        Assert.Contains("it is ready at Sun 05:15, once that is sure;", output, StringComparison.Ordinal);
        Assert.All(["as planned, back at Sun 07:00: even, and closed since Sun 05:15", "you are 2 h late, back at Sun 09:00", "twice as fast, back at Sun 07:00: even, and closed since Sun 00:5", "both, back at Sun 09:00"],
            said => Assert.Contains(said, output, StringComparison.Ordinal));
    }

    [Theory] // on 25 October clocks are put back from 03:00 to 02:00: at half past two the first time, 02:45 is a quarter of an hour away, and 02:10 comes once more
    [InlineData("02:45", 0.25)]
    [InlineData("2026-10-25 02:45", 0.25)]
    [InlineData("02:10", 2 / 3.0)]
    [InlineData("03:00", 1.5)]
    [InlineData("02:30", 1)]
    public void An_hour_that_comes_twice_is_the_next_one(string text, double hours)
    {
        var clock = new PlanClock(new DateTimeOffset(2026, 10, 25, 0, 30, 0, TimeSpan.Zero), TimeZoneInfo.FindSystemTimeZoneById("Europe/Vienna"));
        Assert.Equal((hours, null), clock.Read("--by", text, 0, "the start"));
    }

    [Theory] // from ten in the evening to seven: on 29 March 2026 clocks are put on by an hour, on 25 October back by one (tz database, Europe/Vienna)
    [InlineData("2026-02-28T21:00:00Z", "07:00", 9.0, null)]
    [InlineData("2026-03-28T21:00:00Z", "07:00", 8.0, null)]
    [InlineData("2026-10-24T20:00:00Z", "07:00", 10.0, null)]
    [InlineData("2026-03-28T21:00:00Z", "02:30", null, "--back-at 02:30: the clock skips that hour on this day. Give another.")]
    public void Being_away_over_a_change_of_the_clocks_lasts_as_long_as_it_does(string now, string back, double? hours, string? problem)
    {
        var clock = new PlanClock(DateTimeOffset.Parse(now, CultureInfo.InvariantCulture), TimeZoneInfo.FindSystemTimeZoneById("Europe/Vienna"));
        var (wishes, told) = BeginGuide.Away(StationFile.Parse(GoodFile.Text).Station!, back, clock);
        Assert.Equal((hours, problem), (wishes?.BackHours, told));
        Assert.Equal(hours is null, wishes is null);
    }

    /// <summary>Who begins is told of being away by the same judgement as who plans: a limit of the animals closes it long before the waters are even.</summary>
    [Fact]
    public void Who_begins_and_goes_away_is_told_what_the_plan_tells()
    {
        var station = StationFile.Parse(GoodFile.Text).Station!;
        station = station with { Limits = station.Limits with { TotalMicrosiemensPerCm = 60 }, Pacing = null };
        var clock = new PlanClock(new DateTimeOffset(2026, 2, 28, 21, 0, 0, TimeSpan.Zero), TimeZoneInfo.Utc);
        Assert.Equal((null, null), BeginGuide.Away(station, null, clock));
        var page = PlanPage.Of(station, clock, wishes: BeginGuide.Away(station, "07:00", clock).Wishes);
        Assert.Contains("before it was even: the water would change faster or further than the animals' limit", LateText.Line(page.Late[0], clock.Text, "0.0"), StringComparison.Ordinal);
    }

    /// <summary>Nothing closes for a heater: "this does not end in a match" stood over a night that did.</summary>
    [Fact]
    public void A_plan_that_only_uncovers_the_heater_says_so()
    {
        var station = StationFile.Parse(GoodFile.Text).Station!;
        station = station with { Limits = new(), Source = station.Source with { HeaterTopDepthMillimetres = 2 } };
        var page = PlanPage.Of(station, new PlanClock(new DateTimeOffset(2026, 2, 28, 21, 0, 0, TimeSpan.Zero), TimeZoneInfo.Utc));
        Assert.Equal([Core.Planning.Obstacle.HeaterExposed], page.Plan.Obstacles.Select(obstacle => obstacle.Kind));
        Assert.EndsWith(": this fits, but would uncover the tank's heater.", PlanText.Answer(page), StringComparison.Ordinal);
    }

    /// <summary>With a standpipe it is the catch vessel that spills.</summary>
    [Theory]
    [InlineData(null, "over the rim")]
    [InlineData(4.0, "over the catch vessel's rim")]
    public void Who_is_late_is_told_whose_rim_it_would_be(double? catches, string told)
    {
        var station = StationFile.Parse(GoodFile.Text).Station!;
        station = catches is null ? station : station with { Vessel = station.Vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = 6, StandpipeSdLitres = 0.1, CatchLitres = catches } };
        var late = Lateness.Of(Planner.Make(station with { Drip = station.Drip with { FlowMillilitresPerMinute = 15 } }, wishes: new() { LeaveHours = 1, BackHours = 15 }));
        Assert.Contains(told, LateText.Line(late[^1], _ => "then", "0.0"), StringComparison.Ordinal);
        Assert.Contains("; 0.21 L at ", LateText.Line(late[0] with { LitresAtBack = 0.2051 }, _ => "then", "0.00"), StringComparison.Ordinal); // of a cup
    }

    [Fact]
    public void Figures_say_what_they_are_of()
    {
        var river = StationFile.Parse(GoodFile.Text).Station!;
        Dictionary<string, string> Of(Core.Stations.Station station) => PlanText.Figures(Core.Planning.Planner.Make(station), station).DistinctBy(one => one.What).ToDictionary(one => one.What, one => one.Value);
        var alike = Of(river with { Waters = river.Waters with { BagMicrosiemensPerCm = 190 } }); // 5 µS/cm apart: three quarters are to be replaced
        Assert.StartsWith("4.0 start volumes = 6.4 L, for 75 % of it to be the tank's; ", alike["a fill alone needs"], StringComparison.Ordinal);
        Assert.Contains("water replaced", alike.Keys);
        Assert.Equal("not within 48 h", Of(river with { Room = river.Room with { TemperatureCelsius = 14 } })["all even"]);
        Assert.EndsWith(", then 10 min to be sure", Of(river)["all even"], StringComparison.Ordinal);
    }

    [Fact]
    public void What_has_no_bound_is_not_said_to_be_more()
    {
        var reading = StationFile.Parse(GoodFile.Text).Station!;
        var open = reading with { Source = reading.Source with { AutomaticTopOff = true, TopOffReservoirLitres = null } };
        Assert.Equal("Not to be left alone: there is no bound on what could siphon into it, and 8.0 L are the most that may.", PlanText.Alone(Core.Planning.Planner.Make(open), open)); // four fifths of 11.6 - 1.6 L
    }

    [Fact]
    public void What_is_just_more_than_may_siphon_does_not_read_like_it()
    {
        var reading = StationFile.Parse(GoodFile.Text).Station!;
        var deep = reading with { Source = reading.Source with { AutomaticTopOff = false, SurfaceAreaSquareMetres = 0.5, IntakeDepthMillimetres = 16.02 } }; // 0.5 m² x 16.02 mm
        Assert.Equal("Not to be left alone: 8.01 L could siphon into it, more than the 8.00 L it may be.", PlanText.Alone(Core.Planning.Planner.Make(deep), deep)); // four fifths of 11.6 - 1.6 L
    }

    [Theory]
    [InlineData("--start", "0001-01-01 00:00", "not a time")]
    [InlineData("--by", "2026-11-28 20:00", "in the past")]
    [InlineData("--by", "2026-12-01 07:00", "too far ahead")]
    [InlineData("--back", "25:10", "not a time")]
    [InlineData("--start", "yesterday", "not a time")]
    [InlineData("--leave", "2026-11-28T20:29", "in the past")]
    public void A_time_that_can_not_be_is_refused_with_what_is_allowed(string option, string text, string why)
    {
        using var error = new StringWriter();
        var asked = option switch
        {
            "--by" => new PlanCommand.Asked(By: text),
            "--back" => new PlanCommand.Asked(Back: text),
            "--leave" => new PlanCommand.Asked(Leave: text),
            _ => new PlanCommand.Asked(Start: text),
        };
        Assert.Equal(2, PlanCommand.Run(StationFile.Parse(GoodFile.Text), asked, new Vienna("2026-11-28T19:30:00Z"), default, TextWriter.Null, error));
        Assert.StartsWith($"{option} {text}: {why}", error.ToString(), StringComparison.Ordinal);
        Assert.Contains("Allowed: ", error.ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("\"bagPh\": 6.6", "\"bagPh\": 15", "waters.bagPh", "4 to 10")]
    [InlineData("\"hoursInTransit\": 20", "\"totalAmmoniaMilligramsPerLitre\": -1", "arrival.totalAmmoniaMilligramsPerLitre", "0 to 200")]
    [InlineData("\"bagMicrosiemensPerCm\": 410", "\"bagMicrosiemensPerCm\": 300000", "waters.bagMicrosiemensPerCm", "0 to 100000")]
    public void A_bag_that_can_not_be_is_refused_by_key_value_range_and_advice(string good, string bad, string key, string range)
    {
        using var error = new StringWriter();
        Assert.Contains(good, GoodFile.Text, StringComparison.Ordinal);
        Assert.Equal(2, PlanCommand.Run(StationFile.Parse(GoodFile.Text.Replace(good, bad, StringComparison.Ordinal)), new(), TimeProvider.System, default, TextWriter.Null, error));
        Assert.Matches($@"^{System.Text.RegularExpressions.Regex.Escape(key)} \(line \d+\): {bad.Split(": ")[1]}\. Allowed: {range} .+\. \w.+\.", error.ToString());
    }

    private static string At(string utc, PlanCommand.Asked asked)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        PlanCommand.Run(StationFile.Parse(GoodFile.Text), asked, new Vienna(utc), default, output, error);
        return output.ToString() + error;
    }

    private sealed class Vienna(string utc) : TimeProvider
    {
        public override TimeZoneInfo LocalTimeZone => TimeZoneInfo.FindSystemTimeZoneById("Europe/Vienna");

        public override DateTimeOffset GetUtcNow() => DateTimeOffset.Parse(utc, CultureInfo.InvariantCulture);
    }

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
