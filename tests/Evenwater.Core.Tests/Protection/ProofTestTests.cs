using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Protection;

/// <summary>The proof test, stepped once a second by hand; the whole of it on a rig is in the program's own tests.</summary>
public sealed class ProofTestTests
{
    private readonly ProofTest _test;
    private double _now;
    private Phase _phase = Phase.Idle;

    public ProofTestTests()
    {
        var station = TestStation.Make();
        _test = new ProofTest(station with { Sensors = station.Sensors with { FloatLowLine = null, FloatHighLine = null, LeakLine = null, DropCounterLine = 5 } }, default);
    }

    [Fact]
    public void A_driver_that_lets_go_while_the_line_stands_still_passes()
    {
        ToDropOut();
        Assert.Equal(ProofWant.StandStill, Step(drops: 1));
        Go(3, drops: 1); // 2 s for the driver, the fall, the count
        Go(7, drops: 0);
        Assert.Equal((ProofPart.Closes, ProofOutcome.Running), (_test.Part, _test.Outcome));
        Assert.True(_test.Results[^1] is { Part: ProofPart.DropOut, Passed: true, Seen: true });
    }

    [Fact]
    public void The_words_of_a_part_are_never_those_of_the_one_before_it()
    {
        Assert.Equal("", _test.Text);
        var parts = new List<ProofPart> { _test.Part };
        Assert.Equal(ProofWant.Open, Step(drops: 0));
        _phase = Phase.Dripping;
        for (var i = 0; i < 300 && _test.Outcome == ProofOutcome.Running; i++)
        {
            var (part, text) = (_test.Part, _test.Text);
            _ = Step(drops: i % 12 < 6 && part != ProofPart.DropOut ? 1 : 0);
            Assert.True(_test.Part == part ? _test.Text.Length > 0 : _test.Text.Length == 0, $"{_test.Part} with the words of {part}: {text}");
            if (_test.Part != part) parts.Add(_test.Part);
        }

        Assert.True(parts.Count > 2, string.Join(", ", parts));
    }

    [Fact]
    public void Water_that_runs_on_without_pulses_fails_and_closes()
    {
        ToDropOut();
        Step(drops: 1);
        Assert.Equal(ProofWant.Close, Go(9, drops: 1));
        Assert.Equal(ProofOutcome.Failed, _test.Outcome);
        Assert.Contains("water ran on without pulses", _test.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_beam_that_gives_no_answer_while_the_line_stands_still_never_passes()
    {
        ToDropOut();
        Step(drops: 1);
        Assert.Equal(ProofWant.Close, Step(drops: null));
        Assert.Equal(ProofOutcome.Failed, _test.Outcome);
        Assert.Contains("the drop counter gave no answer", _test.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Who_looks_away_for_ten_seconds_ends_it_and_the_valve_with_it()
    {
        Assert.Equal(ProofWant.Open, Step(drops: 0));
        _phase = Phase.Dripping;
        for (var i = 0; i < 10; i++)
        {
            Assert.Equal(ProofWant.Nothing, Step(drops: 0, look: false));
        }

        Assert.Equal(ProofWant.Close, Step(drops: 0, look: false));
        Assert.Equal(ProofOutcome.Interrupted, _test.Outcome);
        Assert.Contains("nobody has looked for 10 s", _test.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Phase.Tripped, "has tripped")]
    [InlineData(Phase.Holding, "closed meanwhile")]
    public void A_trip_or_a_close_from_elsewhere_ends_it(Phase phase, string why)
    {
        ToDropOut();
        _phase = phase;
        Assert.Equal(ProofWant.Close, Step(drops: 0));
        Assert.Equal(ProofOutcome.Interrupted, _test.Outcome);
        Assert.Contains(why, _test.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void An_opening_that_comes_after_its_end_is_closed_again()
    {
        Assert.Equal(ProofWant.Open, Step(drops: 0)); // asked, and not there yet: the close overtakes it
        _test.Interrupt("asked to.");
        Assert.Equal(ProofWant.Close, Step(drops: 0));
        Assert.Equal(ProofWant.Nothing, Step(drops: 0));
        _phase = Phase.Armed;
        Assert.Equal(ProofWant.Close, Step(drops: 0));
        _phase = Phase.Idle;
        Go(20, drops: 0);
        _phase = Phase.Dripping; // a keeper's own run, later
        Assert.Equal(ProofWant.Nothing, Step(drops: 1));
    }

    /// <summary>Its own opening had come and was closed; a run that a keeper began four seconds later was closed and ended as if it were that.</summary>
    [Fact]
    public void A_run_that_begins_right_after_an_interrupted_test_has_closed_its_own_is_left_alone()
    {
        Assert.Equal(ProofWant.Open, Step(drops: 0));
        _phase = Phase.Dripping;
        Go(3, drops: 1);
        _test.Interrupt("somebody asked to.");
        Assert.Equal(ProofWant.Close, Step(drops: 0));
        Step(drops: 0); // closing takes a turn
        foreach (var phase in new[] { Phase.Holding, Phase.Abandoned, Phase.Armed, Phase.Dripping, Phase.Dripping })
        {
            _phase = phase;
            Assert.Equal(ProofWant.Nothing, Step(drops: 0));
        }
    }

    /// <summary>Who has just seen every part hold begins at once: that run is the keeper's own, and not to be closed and ended.</summary>
    [Fact]
    public void A_run_that_begins_right_after_a_passed_test_is_left_alone()
    {
        ToDropOut();
        Step(drops: 1);
        Go(3, drops: 1);
        Go(7, drops: 0);
        Assert.Equal(ProofPart.Closes, _test.Part);
        for (var i = 0; i < 100 && _test.Outcome == ProofOutcome.Running; i++)
        {
            _phase = Step(drops: 0) == ProofWant.Close ? Phase.Abandoned : _phase;
        }

        Assert.Equal(ProofOutcome.Passed, _test.Outcome);
        foreach (var phase in new[] { Phase.Armed, Phase.Dripping })
        {
            _phase = phase;
            Assert.Equal(ProofWant.Nothing, Step(drops: 0));
        }
    }

    /// <summary>For a minute the closed valve is watched for drops: those of a run that a keeper begins meanwhile are no failure, and the run is not the test's to end.</summary>
    [Fact]
    public void A_run_that_begins_while_the_closed_valve_is_watched_is_no_failure_and_is_left_alone()
    {
        ToDropOut();
        Step(drops: 1);
        Go(3, drops: 1);
        Assert.Equal(ProofWant.Close, Go(8, drops: 0));
        _phase = Phase.Abandoned;
        Assert.Equal(ProofWant.Nothing, Go(30, drops: 0));
        Assert.Equal(ProofPart.Closes, _test.Part);
        foreach (var phase in new[] { Phase.Armed, Phase.Dripping, Phase.Dripping })
        {
            _phase = phase;
            Assert.Equal(ProofWant.Nothing, Step(drops: 1));
        }

        Assert.Equal((ProofOutcome.Interrupted, true), (_test.Outcome, _test.Results.All(result => result.Passed)));
        Assert.StartsWith("Interrupted: a run has begun while the closed valve was watched.", _test.Text, StringComparison.Ordinal);
    }

    /// <summary>Two minutes and ten drops are waited for a person, then the part has failed: its valve is closed and nothing after it is tried.</summary>
    [Theory]
    [InlineData(ProofPart.Opens, 0, "the drop counter saw no water run")]
    [InlineData(ProofPart.SeriesFloat, 1, "the drop counter saw the water run on")]
    [InlineData(ProofPart.SeriesFloat, 0, "the drop counter did not see the water run again")]
    [InlineData(ProofPart.Plug, 1, "the drop counter saw the water run on")]
    [InlineData(ProofPart.Closes, 1, "drops fell from the closed valve")]
    [InlineData(ProofPart.Closes, null, "the drop counter gave no answer")]
    public void What_the_drop_counter_does_not_see_fails_its_part_and_closes(ProofPart part, int? drops, string why)
    {
        Assert.Equal(ProofWant.Open, Step(drops: 0));
        _phase = Phase.Dripping;
        for (var i = 0; i < 120 && _test.Part != part; i++)
        {
            Step(drops: _test.Part == ProofPart.DropOut || i % 12 >= 6 ? 0 : 1);
        }

        Assert.Equal(ProofWant.Close, Go(150, drops));
        Assert.Equal((part, ProofOutcome.Failed), (_test.Part, _test.Outcome));
        Assert.Equal((part, true, false, why), (_test.Results[^1].Part, _test.Results[^1].Seen, _test.Results[^1].Passed, _test.Results[^1].Why));
    }

    /// <summary>A drop every three seconds says nothing about two seconds without pulses: a person is asked. And a pause is one only after five of them.</summary>
    [Fact]
    public void Slow_drops_are_waited_for_and_leave_the_drop_out_to_the_eye()
    {
        Assert.Equal(ProofWant.Open, Step(drops: 0));
        _phase = Phase.Dripping;
        Slowly(5);
        Assert.Equal(ProofPart.SeriesFloat, _test.Part);
        Slowly(1);
        Go(11, drops: 0);
        Slowly(2);
        Assert.Equal(ProofPart.SeriesFloat, _test.Part);
        Go(17, drops: 0);
        Slowly(2);
        Assert.Equal(ProofPart.Plug, _test.Part);
        Go(17, drops: 0);
        Slowly(2);
        Assert.Equal(ProofPart.DropOut, _test.Part);
        Assert.Equal(ProofWant.StandStill, Step(drops: 0));
        Go(2, drops: 0);
        Assert.True(_test.Asks);
        _test.Hear(true, MonotonicTime.FromSeconds(_now));
        Step(drops: 0);
        Assert.Equal((ProofPart.Closes, false), (_test.Part, _test.Results[^1].Seen));

        void Slowly(int drops)
        {
            for (var i = 0; i < drops; i++)
            {
                Go(2, drops: 0);
                Step(drops: 1);
            }
        }
    }

    /// <summary>The hose empties for five seconds after the valve has closed.</summary>
    [Theory]
    [InlineData(4, ProofOutcome.Passed)]
    [InlineData(8, ProofOutcome.Failed)]
    public void What_hung_in_the_hose_is_no_leak(int seconds, ProofOutcome outcome)
    {
        ToDropOut();
        Step(drops: 1);
        Go(3, drops: 1);
        for (var i = 0; i < 30 && _test.Part != ProofPart.Closes; i++) Step(drops: 0);
        Assert.Equal(ProofWant.Close, Step(drops: 1));
        _phase = Phase.Abandoned;
        Go(seconds, drops: 1);
        Go(70, drops: 0);
        Assert.Equal(outcome, _test.Outcome);
    }

    /// <summary>Opens, and goes through float and plug, by a hand that stops the water for a while.</summary>
    private void ToDropOut()
    {
        Assert.Equal(ProofWant.Open, Step(drops: 0));
        _phase = Phase.Dripping;
        for (var i = 0; i < 120 && _test.Part != ProofPart.DropOut; i++)
        {
            Step(drops: i % 12 < 6 ? 1 : 0);
        }

        Assert.Equal(ProofPart.DropOut, _test.Part);
    }

    /// <summary>A keeper's run begins in the very cycle in which the test wants to open: its own opening is refused, and what drips is not its to close.</summary>
    [Fact]
    public void A_run_that_was_there_before_its_own_opening_is_left_alone()
    {
        Assert.Equal(ProofWant.Open, Step(drops: 0));
        _phase = Phase.Armed;
        Assert.Equal(ProofWant.Nothing, Step(drops: 0));
        _test.Refused("the station drips already.");
        _phase = Phase.Dripping;
        for (var i = 0; i < 30; i++)
        {
            Assert.Equal(ProofWant.Nothing, Step(drops: 1));
        }

        Assert.Equal(("Interrupted: the station drips already. Nothing was recorded as done.", ProofOutcome.Interrupted), (_test.Text, _test.Outcome));
    }

    private ProofWant Go(int seconds, double? drops)
    {
        var last = ProofWant.Nothing;
        for (var i = 0; i < seconds; i++)
        {
            last = Step(drops) is var want and not ProofWant.Nothing ? want : last;
        }

        return last;
    }

    private ProofWant Step(double? drops, bool look = true)
    {
        _now++;
        var now = MonotonicTime.FromSeconds(_now);
        if (look)
        {
            _test.Hear(null, now);
        }

        var readings = default(Readings);
        readings[Channel.Drops] = drops is { } fell ? Reading.Of(fell, now) : Reading.Missing(Reason.NoAnswer, now);
        return _test.Step(readings, _phase, now);
    }
}
