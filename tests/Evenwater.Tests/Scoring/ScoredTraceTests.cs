using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Running;
using Evenwater.Scoring;

namespace Evenwater.Tests.Scoring;

public sealed class ScoredTraceTests
{
    [Theory]
    [InlineData("flow_jump", null, 3.0, "flow-up")]
    [InlineData("flow_jump", null, 0.3, "flow-down")]
    [InlineData("flow_jump", null, null, "flow-up|flow-down")]
    [InlineData("clog", null, null, "flow-down")]
    [InlineData("siphon_surge", null, null, "flow-up")]
    [InlineData("leak", null, null, "leak")]
    [InlineData("tank_change", null, null, "tank-change")]
    [InlineData("probe_stuck", "b", null, "probe-vessel")]
    [InlineData("probe_open", "t", null, "probe-tank")]
    [InlineData("probe_burst", null, null, "probe-vessel|probe-tank")]
    [InlineData("tank_probe_stuck", null, null, "probe-tank")]
    [InlineData("probe_swap", null, null, "swapped")]
    [InlineData("power_gap", null, null, "")]
    public void Each_kind_of_trouble_has_its_words(string kind, string? probe, double? factor, string words) =>
        Assert.Equal(words, Hardware.Trace.ForecastFile.Events(EventWords.For(new TruthEvent(0, kind, probe, factor))));

    [Fact]
    public void The_first_fitting_word_after_the_event_counts_and_a_word_before_it_is_unfounded()
    {
        var scored = Night(new TruthEvent(1000, "flow_jump", null, 3)).Judged([],
        [
            new(500, ForecastEvents.FlowUp),
            new(1100, ForecastEvents.FlowDown | ForecastEvents.TankChange),
            new(1240, ForecastEvents.FlowUp),
            new(1300, ForecastEvents.FlowUp),
        ]);
        Assert.Equal(240, Assert.Single(scored.Recognitions).DelaySeconds);
        Assert.Equal([ForecastEvents.FlowUp, ForecastEvents.FlowDown, ForecastEvents.TankChange], scored.Unfounded);
    }

    [Fact]
    public void What_is_never_told_is_unseen_and_what_has_no_word_is_listed()
    {
        var scored = Night(new TruthEvent(10, "leak", null, null), new TruthEvent(20, "power_gap", null, null)).Judged([], [new(30, ForecastEvents.FlowUp)]);
        Assert.Equal([(true, (double?)null), (false, null)], scored.Recognitions.Select(r => (r.HasWord, r.DelaySeconds)));
        Assert.Contains(ScoreTable.Of([scored], default), l => l.Contains("power_gap", StringComparison.Ordinal) && l.Contains("no word", StringComparison.Ordinal));
        Assert.Contains(ScoreTable.Of([scored], default), l => l.Contains("leak", StringComparison.Ordinal) && l.Contains("seen 0", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(Trip.OverflowForecast, 4000.0, 3400.0, 600.0)]
    [InlineData(Trip.OverflowForecast, 4000.0, null, 0.0)]
    [InlineData(Trip.HighFloat, 4000.0, 3400.0, null)]
    [InlineData(Trip.None, null, 3400.0, null)]
    public void The_warning_leads_a_closing_by_forecast(object trip, double? closed, double? warned, double? lead) =>
        Assert.Equal(lead, Night() is var night
            ? (night with { Outcome = night.Outcome with { Decision = new TraceDecision(closed, (Trip)trip, warned) } }).WarningLeadSeconds
            : null);

    [Theory]
    [InlineData(null, true, true)]
    [InlineData(5000.0, true, true)]
    [InlineData(3500.0, true, false)]
    [InlineData(2999.0, false, false)]
    public void The_water_is_past_a_line_when_the_valve_would_not_have_closed_by_then(double? closed, bool pastMark, bool overRim)
    {
        var night = Night() with { Truth = new TraceTruth { BrimSeconds = 3000, SpillSeconds = 4000 } };
        night = night with { Outcome = night.Outcome with { Decision = new TraceDecision(closed, closed is null ? Trip.None : Trip.HighFloat, null) } };
        Assert.Equal((pastMark, overRim), (night.PastMark, night.OverRim));
    }

    /// <summary>A recording that ends before its water was at the mark does not tell whether the valve would have closed by then.</summary>
    [Theory]
    [InlineData(2000, false, false)]
    [InlineData(3000, true, false)]
    [InlineData(9000, true, true)]
    public void What_comes_after_the_recording_is_not_counted_against_it(double ends, bool pastMark, bool overRim)
    {
        var night = Night() with { Truth = new TraceTruth { BrimSeconds = 3000, SpillSeconds = 4000 } };
        night = night with { Outcome = night.Outcome with { EndsAtSeconds = ends } };
        Assert.Equal((pastMark, overRim), (night.PastMark, night.OverRim));
    }

    private static ScoredTrace Night(params TruthEvent[] events) =>
        new("night-1", "made up", new TraceTruth { Events = events }, new TraceOutcome(1, 1, 0, [], TraceDecision.StaysOpen), []);
}
