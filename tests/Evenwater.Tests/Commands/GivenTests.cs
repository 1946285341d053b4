using Evenwater.Commands;
using Evenwater.Control;
using Evenwater.Core.Planning;
using Evenwater.Core.Safety;
using Evenwater.Running;
using Evenwater.Tests.Running;
using Spectre.Console;

namespace Evenwater.Tests.Commands;

/// <summary>What a keeper has measured goes into the plan that is shown before go or no-go, and into what the daemon is told.</summary>
public class GivenTests
{
    private static readonly Given _nothing = new(null, null, null, null, default, null, null, Attended: true, null, Yes: true);

    [Fact]
    public void Nothing_given_leaves_the_station_as_its_file_says() => Assert.Equal(DemoStation.Read().Vessel, _nothing.As(DemoStation.Read()).Vessel);

    [Fact]
    public void A_volume_by_eye_is_known_to_15_per_cent_and_one_by_jug_to_2()
    {
        Assert.Equal((2.0, 0.3), Volume(_nothing with { StartVolume = 2 }));
        Assert.Equal((2.0, 0.04), Volume(_nothing with { StartVolume = 2, Jug = true }));

        static (double, double) Volume(Given given) => (given.As(DemoStation.Read()).Vessel.StartVolumeLitres, Math.Round(given.As(DemoStation.Read()).Vessel.StartVolumeSdLitres, 6));
    }

    [Fact]
    public void Probes_matched_in_one_cup_are_planned_and_told_with_their_own_ratio_and_spread()
    {
        var given = _nothing with { Cup = new Cup(1.014, 0.0031) };
        Assert.Equal(0.0031, given.As(DemoStation.Read()).Probes.GainRatioSd);
        Assert.Equal((1.014, 0.0031), (given.Known().GainRatio, given.Known().GainRatioSd));
        Assert.Equal(0.021, (_nothing with { Matched = false }).As(DemoStation.Read()).Probes.GainRatioSd);
    }

    [Fact]
    public void A_count_of_drops_is_told_as_no_better_than_the_size_of_a_drop()
    {
        var counted = _nothing with { Flow = 11.5, FlowRelativeSd = 0.12 };
        Assert.Equal((11.5, 0.12), (counted.Known().FlowMillilitresPerMinute, counted.Known().FlowRelativeSd));
        Assert.Equal(0.12, counted.As(DemoStation.Read()).Drip.FlowRelativeSd);
    }

    /// <summary>After the last question it would be too late: everything, and the probes' cup, would be asked anew.</summary>
    [Fact]
    public void An_answer_that_can_not_be_is_refused_at_its_own_question()
    {
        var (station, asked) = (DemoStation.Read(), _nothing with { Attended = false });
        Assert.True(BeginGuide.VolumePrompt(station, asked).Validator!(1.6).Successful);
        Assert.Contains("start-volume = 100: allowed is 0.05 to less than 10.4 L", BeginGuide.VolumePrompt(station, asked).Validator!(100).Message, StringComparison.Ordinal);
        Assert.True(BeginGuide.BackPrompt(station, asked).Validator!("07:30").Successful);
        Assert.Contains("write HH:MM, such as 07:30", BeginGuide.BackPrompt(station, asked).Validator!("25:99").Message, StringComparison.Ordinal);
        Assert.Contains("a point and without any comma", BeginGuide.VolumePrompt(station, asked).ValidationErrorMessage, StringComparison.Ordinal); // "1,6" is no number at all
        var blind = station with { Sensors = station.Sensors with { TankConductivity = null } };
        Assert.True(BeginGuide.TankPrompt(blind, asked).Validator!(185).Successful);
        Assert.False(BeginGuide.TankPrompt(blind, asked).Validator!(-185).Successful);
        Assert.True(BeginGuide.VolumePrompt(blind, asked).Validator!(1.6).Successful); // that the tank is not told yet is no fault of the volume
    }

    /// <summary>A key that was held down made 5000 L a minute of it, and ended all that had been answered.</summary>
    [Fact]
    public void A_drip_that_can_not_be_is_counted_anew_at_once()
    {
        var told = new StringWriter();
        var console = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(told), Ansi = AnsiSupport.No });
        var (time, keys) = (new SetTime(default, TimeZoneInfo.Utc), 0);
        var flow = BeginGuide.Count(DemoStation.Read(), _nothing, console, () =>
        {
            time.Advance(TimeSpan.FromSeconds(keys++ < 21 ? 0.001 : 0.5));
            return ConsoleKey.Spacebar;
        }, time);
        Assert.Equal((6, 42), (Math.Round(flow!.Value, 9), keys)); // 120 drops of 0.05 mL a minute
        Assert.Contains("allowed is 0.5 to 200 mL/min", told.ToString(), StringComparison.Ordinal);
        Assert.Null(BeginGuide.Count(DemoStation.Read(), _nothing, console, () => ConsoleKey.Enter, time));
    }

    [Fact]
    public void A_tank_by_hand_is_told_in_fractions_of_itself() => Assert.Equal(
        (187.0, 0.015), ((_nothing with { Tank = 187, TankSdPercent = 1.5 }).Known().TankMicrosiemensPerCm, (_nothing with { Tank = 187, TankSdPercent = 1.5 }).Known().TankRelativeSd));

    /// <summary>It was taken without a word, and the probe went by its own spread.</summary>
    [Fact]
    public void How_well_a_tank_by_hand_is_known_is_refused_where_a_probe_hangs_in_it_and_by_the_option_s_own_unit()
    {
        var (station, said) = (DemoStation.Read(), _nothing with { TankSdPercent = 3 });
        Assert.Equal("--tank-sd = 3 %: sim-river has a probe in the tank, which is read. Leave it out.", said.Problem(station));
        var blind = station with { Sensors = station.Sensors with { TankConductivity = null } };
        Assert.Null((said with { Tank = 187 }).Problem(blind));
        Assert.Null(said.Problem(blind)); // the tank itself is asked yet
        Assert.StartsWith("--tank-sd = 50 %: allowed is 0.1 to 20 %.", (_nothing with { Tank = 187, TankSdPercent = 50 }).Problem(blind), StringComparison.Ordinal);
    }

    /// <summary>On a terminal: who has no run to end, or no daemon, is told so at once, before counting animals for nothing.</summary>
    [Theory]
    [InlineData(Phase.Armed, true)]
    [InlineData(Phase.Dripping, true)]
    [InlineData(Phase.Holding, true)]
    [InlineData(Phase.Idle, false)]
    [InlineData(Phase.Tripped, false)]
    [InlineData(Phase.Finished, false)]
    public void Animals_are_counted_only_where_a_run_can_be_ended(Phase phase, bool counted)
    {
        Assert.Equal(counted, FinishCommand.CanEnd(new ControlAnswer(true, "") { Phase = phase }));
        Assert.False(FinishCommand.CanEnd(new ControlAnswer(false, "There is no station river here.")));
        Assert.False(FinishCommand.CanEnd(null));
        Assert.Equal(phase is Phase.Armed or Phase.Dripping, FinishCommand.MayRunIn(new ControlAnswer(true, "") { Phase = phase })); // then it is closed before a vessel is emptied
    }

    /// <summary>A trip in the midst of the release: the animals were let in and counted, the end was refused, and the count was gone without a word.</summary>
    [Theory]
    [InlineData(18, 0, " --alive 18 --dead 0")]
    [InlineData(18, null, " --alive 18")]
    [InlineData(null, 1, " --dead 1")]
    public void A_count_that_could_not_be_kept_is_told_with_how_to_keep_it(int? alive, int? dead, string count)
    {
        Assert.Equal(
            $"The count is not in the book yet. When the run can be ended: 'evenwater finish river{count}'. When it has ended already: 'evenwater arrival river --outcome release{count}'.",
            FinishCommand.NotKept("river", alive, dead));
        Assert.Null(FinishCommand.NotKept("river", null, null));
        Assert.StartsWith("--alive = -1, --dead = not counted: allowed is 0 to 100000 animals.", FinishCommand.Impossible(-1, null), StringComparison.Ordinal);
        Assert.StartsWith("--alive = 20, --dead = not counted: allowed is at most the 18 that came", FinishCommand.MoreThan(18, 20, null), StringComparison.Ordinal); // it had ended in "--dead = :"
    }

    /// <summary>Off a terminal it was told after minutes with both probes in a cup. By hand: with 2.5 L in it the demo's vessel can take 9.1 L, and 80 % of it, 7.3, are less than the 8.0 L that could siphon.</summary>
    [Fact]
    public void What_may_not_be_left_alone_is_refused_before_the_probes_are_matched_where_that_is_sure()
    {
        var (demo, alone) = (DemoStation.Read(), new ControlAnswer(true, "") { Phase = Phase.Idle, NotAlone = "Refused: not to be left alone." });
        var full = demo with { Vessel = demo.Vessel with { StartVolumeLitres = 2.5 } };
        var given = new Given(null, null, null, null, default, null, null, false, null, true);
        Assert.Equal(alone.NotAlone, BeginCommand.Refused(alone, demo, given with { StartVolume = 1.4 }));
        Assert.Equal(alone.NotAlone, BeginCommand.Refused(alone, full, given));
        Assert.Null(BeginCommand.Refused(alone, full, given with { StartVolume = 1.4 })); // with so little in it it may be
        Assert.Equal(alone.NotAlone, BeginCommand.Refused(alone with { Phase = Phase.Holding }, full, given with { StartVolume = 1.4 })); // its water is in it already
        Assert.Null(BeginCommand.Refused(alone, demo, given with { Attended = true }));
        Assert.Null(BeginCommand.Refused(alone with { NotAlone = null }, demo, given));
    }

    /// <summary>"begin --yes" said nothing of it and opened. By hand: from 2.5 L a match takes 2.5 × 225 / 40 = 14.1 L, more than the mark's 10.4.</summary>
    [Fact]
    public void What_the_plan_has_against_a_run_is_told_where_nobody_is_shown_the_plan()
    {
        var demo = DemoStation.Read() with { Arrival = new() };
        Assert.Empty(BeginCommand.ToMind(Planner.Make(demo, priorOf: RunPrior.Expected)));
        var said = Assert.Single(BeginCommand.ToMind(Planner.Make(demo with { Vessel = demo.Vessel with { StartVolumeLitres = 2.5, StartVolumeSdLitres = 0.05 } }, priorOf: RunPrior.Expected)));
        Assert.StartsWith("The plan does not end as it should, and 'evenwater plan' tells what else could be done: The vessel would be at its mark, 10.4 L, after ", said, StringComparison.Ordinal);
    }

    /// <summary>It had said "-+0.0 %".</summary>
    [Theory]
    [InlineData(-0.04, "0.0")]
    [InlineData(0.04, "0.0")]
    [InlineData(-0.1, "-0.1")]
    [InlineData(0.3, "+0.3")]
    public void A_ratio_that_is_told_as_nothing_has_no_sign(double percent, string told) => Assert.Equal(told, CupGuide.Signed(percent));

    /// <summary>The alarm "disk-short" calls below 200 MB; by a limit of 200 MiB, 204 MB were BAD here and no alarm stood, and the log's line beside it told the same disk in MB.</summary>
    [Fact]
    public void The_disk_is_checked_by_the_limit_of_its_alarm_and_told_in_its_unit()
    {
        Assert.Equal((true, "204 MB free, at least 200 wanted"), CheckCommand.Disk(204_000_000));
        Assert.Equal((false, "199 MB free, at least 200 wanted"), CheckCommand.Disk(199_000_000));
    }

    /// <summary>All that a keeper answers and counts would be for nothing.</summary>
    [Theory]
    [InlineData(Phase.Idle, null)]
    [InlineData(Phase.Holding, null)]
    [InlineData(Phase.Finished, null)]
    [InlineData(Phase.Abandoned, null)]
    [InlineData(Phase.Armed, "river is about to open already: there is nothing to begin.")]
    [InlineData(Phase.Dripping, "river drips already: there is nothing to begin.")]
    [InlineData(Phase.Tripped, "river has tripped: 'evenwater alarms' tells why. Once that is put right reset it, then ask again.")]
    public void What_can_not_begin_is_told_before_anything_is_asked(Phase phase, string? told)
    {
        Assert.Equal(told, BeginCommand.WhyNot(new(true, "") { Phase = phase }, "river"));
        Assert.Equal("There is no station river here.", BeginCommand.WhyNot(new(false, "There is no station river here."), "river"));
        Assert.StartsWith("No daemon answers", BeginCommand.WhyNot(null, "river"), StringComparison.Ordinal);
    }

    /// <summary>Ctrl-D went through every step as Enter does, and ended the run with nothing counted.</summary>
    [Fact]
    public void Who_answers_no_more_ends_no_run()
    {
        var said = new List<string>();
        var lines = new Queue<string?>(["", null]);
        Assert.False(FinishCommand.Lead(["Lights low.", "Net them over.", "Count them."], said.Add, lines.Dequeue));
        Assert.Equal(["1. Lights low. Then press Enter.", "2. Net them over. Then press Enter."], said);
        Assert.True(FinishCommand.Lead(["Lights low."], said.Add, () => ""));
        Assert.True(FinishCommand.Lead(["Lights low."], said.Add, null)); // off a terminal they are told

        (bool Answered, int? Count) Asked(int? given, params string?[] answers)
        {
            var (left, count) = (new Queue<string?>(answers), given);
            var answered = FinishCommand.Counted("How many?", ref count, _ => { }, left.Dequeue);
            Assert.Empty(left);
            return (answered, count);
        }

        Assert.Equal((true, 18), Asked(null, "x", "-3", "1e3", "100001", " 18 "));
        Assert.Equal((true, null), Asked(null, ""));
        Assert.Equal((true, 5), Asked(5)); // given, and not asked for
        Assert.Equal((false, null), Asked(null, "x", null));
    }

    /// <summary>It had been said that the run's readings are corrected by the ratio, and the run began without it and without a word.</summary>
    [Theory]
    [InlineData(true, true, "Both have settled.", false)]
    [InlineData(false, true, "They have not settled;", true)]
    [InlineData(false, false, "They have not settled;", false)] // that they are unmatched was told by the cup
    public void A_match_that_is_not_used_after_all_is_told(bool settled, bool matched, string begins, bool unmatched)
    {
        var words = CupGuide.SettledWords(settled, matched);
        Assert.StartsWith(begins, words, StringComparison.Ordinal);
        Assert.Equal(unmatched, words.Contains("begins with the probes unmatched", StringComparison.Ordinal));
    }
}
