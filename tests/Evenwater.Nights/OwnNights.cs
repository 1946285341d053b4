using System.Globalization;
using Evenwater.Nights.Judging;
using Evenwater.Nights.Plant;
using Evenwater.Scoring;

namespace Evenwater.Nights;

/// <summary>
/// A short version of the figures in FIGURES.md, so that nothing is judged on the 24 development nights alone. The plant that makes these
/// nights knows nothing of the estimator.
/// </summary>
public sealed class OwnNights(JudgedNightsFixture fixture, ITestOutputHelper output) : IClassFixture<JudgedNightsFixture>
{
    private static readonly string[] DeadOrStuck = ["probe_stuck", "probe_open", "probe_dry"];

    [Fact]
    public void Nine_in_ten_intervals_hold_the_truth_at_least_eight_times_in_ten()
    {
        var moments = fixture.Moments.ToArray();
        var held = moments.Average(m => m.Moment.Covered ? 1.0 : 0.0);
        output.WriteLine($"{held:0.000} of {moments.Length}");
        foreach (var line in JudgedTable.Of(fixture.Scored, Targets.For(Care.Usual), cost: null))
        {
            output.WriteLine(line);
        }

        Assert.InRange(moments.Length, 120, 300);
        Assert.InRange(held, 0.80, 1);
    }

    [Fact]
    public void No_night_is_closed_only_when_its_water_is_over_the_rim()
    {
        Assert.InRange(fixture.Scored.Count(t => t.Truth!.SpillSeconds is not null), 15, 60);
        Assert.Empty(fixture.Scored.Where(t => t.OverRim).Select(t => t.Name));
    }

    [Fact]
    public void The_forecast_loses_less_than_the_hand_calculation_at_the_same_moments()
    {
        var byHand = fixture.ByHand.ToDictionary(j => (j.Night, j.Event, j.Percent), j => j.Loss);
        var both = fixture.Moments.Where(m => byHand.ContainsKey((m.Night, m.Event, m.Moment.Percent))).ToArray();
        foreach (var name in new[] { "brim", "match" })
        {
            var ofEvent = both.Where(m => m.Event == name).ToArray();
            var loss = ofEvent.Average(m => m.Moment.Pinball);
            var hand = ofEvent.Average(m => byHand[(m.Night, m.Event, m.Moment.Percent)]);
            output.WriteLine($"{name}: {loss:0.000}, by hand {hand:0.000}, {ofEvent.Length} moments");
            Assert.InRange(ofEvent.Length, 50, 200);
            Assert.True(loss < hand, $"{name}: {loss} is not below {hand}");
        }
    }

    [Fact]
    public void A_dead_or_stuck_probe_is_told_within_two_minutes()
    {
        var seen = Recognised(DeadOrStuck);
        Assert.InRange(seen.Length, 3, 8);
        Assert.All(seen, r => Assert.InRange(r.DelaySeconds ?? double.PositiveInfinity, 0, 120));
    }

    [Fact]
    public void Swapped_probes_are_told()
    {
        var seen = Recognised("swapped");
        Assert.Equal(2, seen.Length);
        Assert.All(seen, r => Assert.NotNull(r.DelaySeconds));
    }

    [Fact]
    public void Every_moment_of_a_night_in_which_flow_or_tank_changed_is_told_before_or_after_it()
    {
        var rows = JudgedAround.Of(fixture.Scored).Where(line => line.Contains(" of ", StringComparison.Ordinal)).ToArray();
        Assert.Equal(["sudden-clog", "surge", "tank-change"], rows.Select(r => r.Split('|')[1].Trim()).Order(StringComparer.Ordinal).Except(["slow-clog"]));
        foreach (var row in rows)
        {
            var cells = row.Split('|')[2..^1].Where(c => c.Contains(" of ", StringComparison.Ordinal)).Select(c => c.Trim().Split(' ')).ToArray();
            var moments = fixture.Scored.Where(t => t.Kind == row.Split('|')[1].Trim()).SelectMany(t => t.Brim.Concat(t.Match)).ToArray();
            Assert.Equal(moments.Length, cells.Sum(c => int.Parse(c[2], CultureInfo.InvariantCulture)));
            Assert.Equal(moments.Count(m => m.Covered), cells.Sum(c => int.Parse(c[0], CultureInfo.InvariantCulture)));
        }
    }

    [Fact]
    public void The_command_judges_what_is_asked_and_refuses_what_it_does_not_know()
    {
        using var said = new StringWriter(CultureInfo.InvariantCulture);
        using var wrong = new StringWriter(CultureInfo.InvariantCulture);
        Assert.Equal(0, JudgeNights.Run(["--kinds", "load-cell", "--nights", "1", "--first", "3"], said, wrong));
        Assert.Contains("| load-cell | 1 |", said.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("nominal", said.ToString(), StringComparison.Ordinal);
        foreach (var args in new string[][] { ["folder"], ["--kinds", "storm"], ["--nights", "0"], ["--plain"], ["--traces"] })
        {
            Assert.Equal(2, JudgeNights.Run(args, said, wrong));
        }

        Assert.Contains("'--kinds storm' is not understood", wrong.ToString(), StringComparison.Ordinal);
    }

    private Recognition[] Recognised(params string[] kinds)
    {
        Recognition[] seen = [.. fixture.Scored.SelectMany(t => t.Recognitions).Where(r => kinds.Contains(r.Happened.Kind))];
        foreach (var one in seen)
        {
            output.WriteLine($"{one.Happened.Kind} {one.Happened.Probe}: {(one.DelaySeconds is { } delay ? $"after {delay:0} s" : "not told")}");
        }

        return seen;
    }
}
