using CsCheck;
using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

public sealed class EstimatorTests
{
    private static readonly double[] Edges = [0.0, 1.0, 1e-300, 1e300, 500.0];

    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2,
        BrimLitres = 12,
        FreeboardLitres = 1,
        FlowMillilitresPerMinute = 20,
        FloatLowLitres = 5,
        FloatHighLitres = 10,
        ToleranceMicrosiemensPerCm = 60,
        ValveCommands = [new(7000, false), new(9000, true)],
    };

    [Fact]
    public void The_same_seed_and_steps_give_the_same_bits()
    {
        var a = Run(new Estimator(Bucket, 5), 0, 12_000);
        var b = Run(new Estimator(Bucket, 5), 0, 12_000);
        Assert.Equal(a.Latest, b.Latest);
        Assert.NotEqual(a.Latest, Run(new Estimator(Bucket, 6), 0, 12_000).Latest);
    }

    [Fact]
    public void The_truth_of_a_plain_run_lies_in_the_ranges()
    {
        var latest = Run(new Estimator(Bucket, 1), 0, 6000).Latest;
        var litres = Litres(6000);
        Assert.InRange(litres, latest.VolumeLitres.P05, latest.VolumeLitres.P95);
        Assert.InRange(20, latest.FlowMillilitresPerMinute.P05, latest.FlowMillilitresPerMinute.P95);
        Assert.Equal(Health.Ok, latest.Health);
        Assert.InRange(latest.VolumeLitres.P95 / latest.VolumeLitres.P05, 1, 1.5);
    }

    /// <summary>
    /// A float that is still dry had held the chance of the brim down; in the block in which it turned wet it no longer did, and did not count as crossed before the next. That one
    /// block closed the valve of one night in ten.
    /// </summary>
    [Fact]
    public void In_the_block_in_which_the_float_turns_wet_the_risk_does_not_leap()
    {
        var estimator = new Estimator(Bucket with { FloatLowLitres = null, BrimLitres = 11.5, ValveCommands = [] }, 1);
        var risks = new List<double>();
        var wet = 0;
        for (var t = 0; t <= 27_000; t++)
        {
            var seen = estimator.Evaluations;
            estimator.Step(Read(t), t < 7000 || t >= 9000, MonotonicTime.FromSeconds(t));
            if (estimator.Evaluations > seen)
            {
                risks.Add(estimator.Latest.BrimProbabilityTenMinutes);
                wet = wet == 0 && Litres(t) > 10.001 ? risks.Count - 1 : wet;
            }
        }

        Assert.InRange(wet, 100, risks.Count - 4);
        Assert.InRange(risks[wet - 2], 1e-6, 0.1);
        for (var at = wet - 1; at <= wet + 2; at++)
        {
            Assert.InRange(risks[at], 0, 1.5 * Math.Max(risks[wet - 2], risks[wet + 3]));
        }
    }

    [Fact]
    public void A_gap_widens_and_does_not_reset()
    {
        var estimator = Run(new Estimator(Bucket, 1), 0, 6000);
        var before = estimator.Latest;
        estimator.Predict(3600, valveOpen: true);
        estimator.Step(Readings.None(), true, MonotonicTime.FromSeconds(9600 + 31));
        Assert.True(estimator.Latest.VolumeLitres.P50 > before.VolumeLitres.P50 + 0.8);
        Assert.True(Width(estimator.Latest.VolumeLitres) > Width(before.VolumeLitres));
        Assert.Equal(Health.Degraded, estimator.Latest.Health);
    }

    [Fact]
    public void A_pause_between_steps_closes_a_valve_that_needs_power_and_not_one_that_stays()
    {
        var closes = Run(new Estimator(Bucket, 1), 0, 3000);
        var stays = Run(new Estimator(Bucket with { ValveClosesOnPowerLoss = false }, 1), 0, 3000);
        var before = closes.Latest.VolumeLitres.P50;
        closes.Step(Readings.None(), true, MonotonicTime.FromSeconds(6600));
        stays.Step(Readings.None(), true, MonotonicTime.FromSeconds(6600));
        closes.Step(Readings.None(), true, MonotonicTime.FromSeconds(6631));
        stays.Step(Readings.None(), true, MonotonicTime.FromSeconds(6631));
        Assert.InRange(closes.Latest.VolumeLitres.P50, before, before + 0.1);
        Assert.True(stays.Latest.VolumeLitres.P50 > before + 0.8);
    }

    [Fact]
    public void The_forecast_counts_the_planned_closing()
    {
        // 2000 s closed, and a little more: the flow is expected to fall meanwhile. (The earliest come before the closing is over.) Of one order of draws a
        // quantile is a single path's, and moves by 300 s from one order to the next; of 400 orders the mean is known to 20 s.
        var (planned, open) = (Run(new Estimator(Bucket, 1), 0, 3000), Run(new Estimator(Bucket with { ValveCommands = [] }, 1), 0, 3000));
        var later = Enumerable.Range(1, 400).Select(seed => (Planned: planned.Drawn((ulong)seed).BrimSeconds, Open: open.Drawn((ulong)seed).BrimSeconds)).ToArray();
        Assert.InRange(later.Average(l => l.Planned.P25 - l.Open.P25), 2000, 2600);
        Assert.InRange(later.Average(l => l.Planned.P50 - l.Open.P50), 2000, 2600);
    }

    [Fact]
    public void Without_a_tank_probe_the_vessel_shows_where_it_is_heading_and_what_the_keeper_measured_narrows_it()
    {
        var bucket = Bucket with { ToleranceMicrosiemensPerCm = 120 };
        var guessing = new Estimator(bucket, 1);
        var told = new Estimator(bucket with { TankMicrosiemensPerCm = 200 }, 1);
        for (var t = 0; t <= 3000; t++)
        {
            var readings = Read(t);
            readings[Channel.TankConductivity] = Reading.Missing(Reason.NotFitted, default);
            guessing.Step(readings, true, MonotonicTime.FromSeconds(t));
            told.Step(readings, true, MonotonicTime.FromSeconds(t));
        }

        Assert.Equal(Health.Degraded, guessing.Latest.Health);
        Assert.Equal(Reason.NotFitted, guessing.Latest.TankReason);
        Assert.True(double.IsFinite(guessing.Latest.BrimSeconds.P50));
        Assert.True(Width(told.Latest.MatchSeconds) < Width(guessing.Latest.MatchSeconds), $"{told.Latest.MatchSeconds} {guessing.Latest.MatchSeconds}");
    }

    [Fact]
    public void A_standpipe_is_never_overfilled_but_still_becomes_even()
    {
        var prior = Bucket with { Mode = VesselMode.Standpipe, StandpipeLitres = 4, FloatLowLitres = null, ValveCommands = [] };
        var latest = Run(new Estimator(prior, 1), 0, 9000, ceiling: 4).Latest;
        Assert.InRange(latest.VolumeLitres.P50, 3.8, 4.2);
        Assert.Equal(Quantiles.Never, latest.BrimSeconds);
        Assert.InRange(latest.BrimProbability, 0, 1e-6);
        Assert.True(latest.MatchSeconds.P50 is > 0 and < 20_000);
    }

    [Fact]
    public void A_probe_that_fails_degrades_at_once_and_blinds_when_the_flow_is_no_longer_known_and_after_two_hours()
    {
        var estimator = Run(new Estimator(Bucket, 1), 0, 3000);
        var events = ForecastEvents.None;
        Unseen(estimator, 3001, 3800, e => events |= e.Latest.Events);
        Assert.Equal(ForecastEvents.ProbeVessel, events);
        Assert.Equal((Health.Degraded, Reason.NoAnswer), (estimator.Latest.Health, estimator.Latest.VesselReason));
        Assert.InRange(Litres(3800), estimator.Latest.VolumeLitres.P05, estimator.Latest.VolumeLitres.P95);

        Unseen(estimator, 3801, 3000 + 7260, _ => { });
        Assert.Equal(Health.Blind, estimator.Latest.Health);
    }

    [Fact]
    public void Where_the_flow_is_not_known_a_probe_that_fails_blinds_after_ten_minutes()
    {
        var estimator = Run(new Estimator(Bucket with { FlowMillilitresPerMinute = null }, 1), 0, 120);
        Unseen(estimator, 121, 600, _ => { });
        Assert.Equal(Health.Degraded, estimator.Latest.Health);
        Unseen(estimator, 601, 780, _ => { });
        Assert.Equal(Health.Blind, estimator.Latest.Health);
    }

    [Fact]
    public void A_surge_that_no_probe_could_see_is_reckoned_with_more_the_longer_it_could_have_come()
    {
        var small = Bucket with { BrimLitres = 5.2, FreeboardLitres = 0.5, FloatLowLitres = null, FloatHighLitres = null, ValveCommands = [] };
        var seen = Run(new Estimator(small, 1), 0, 4800);
        var unseen = Run(new Estimator(small, 1), 0, 3000);
        Unseen(unseen, 3001, 4800, _ => { });
        Assert.Equal(Health.Degraded, unseen.Latest.Health);
        Assert.InRange(unseen.Latest.BrimProbabilityTenMinutes, 0.004, 0.06); // 0.04 surges an hour for half an hour, of which some would have come so far
        Assert.True(seen.Latest.BrimProbabilityTenMinutes < 0.7 * unseen.Latest.BrimProbabilityTenMinutes, $"{seen.Latest.BrimProbabilityTenMinutes} {unseen.Latest.BrimProbabilityTenMinutes}");
    }

    [Fact]
    public void Time_that_stands_still_or_goes_back_changes_nothing()
    {
        var estimator = Run(new Estimator(Bucket, 1), 0, 3000);
        for (var t = 3000; t > 2000; t--)
        {
            estimator.Step(Read(t), true, MonotonicTime.FromSeconds(t));
        }

        Assert.Equal(Run(new Estimator(Bucket, 1), 0, 3100).Latest, Run(estimator, 3001, 3100).Latest);
    }

    [Fact]
    public void Absurd_rows_and_gaps_never_throw_and_never_give_a_value_that_is_no_number() => LiveThroughAbsurdity(null);

    [Fact]
    public void Nor_do_those_that_once_threw_a_hypothesis_to_a_volume_that_is_none() => LiveThroughAbsurdity("6Yoy-kfkqmc2");

    private static void LiveThroughAbsurdity(string? seed)
    {
        var value = Gen.OneOf(Gen.Double[-1e6, 1e6], Gen.Double, Gen.Int[0, 4].Select(i => Edges[i]));
        var reading = Gen.Select(value, Gen.Int[0, 9]);
        var row = Gen.Select(Gen.OneOf(Gen.Double[0, 40], Gen.Double[-100, 5000], Gen.Double[0, 3e5]), reading.Array[Channels.Count], Gen.Bool);
        Gen.Select(row.Array[1, 60], Gen.Bool).Sample((rows, standpipe) =>
        {
            var prior = standpipe ? Bucket with { Mode = VesselMode.Standpipe, StandpipeLitres = 4 } : Bucket with { FlowMillilitresPerMinute = null };
            var estimator = new Estimator(prior, 1);
            var t = 0.0;
            foreach (var (step, cells, open) in rows)
            {
                t += step;
                var now = MonotonicTime.FromSeconds(t);
                var readings = Readings.None();
                for (var i = 0; i < Channels.Count; i++)
                {
                    readings[i] = cells[i].Item2 == 0 || !double.IsFinite(cells[i].Item1)
                        ? Reading.Missing(Reason.NoAnswer, now)
                        : Reading.Of(cells[i].Item1, now);
                }

                estimator.Step(readings, open, now);
                AssertSane(estimator.Latest, estimator.Evaluations > 0);
            }
        }, seed: seed, iter: 40);
    }

    [Theory]
    [InlineData(0, 12, 60)]
    [InlineData(2, double.NaN, 60)]
    [InlineData(2, 12, -1)]
    public void An_impossible_prior_is_refused(double start, double brim, double tolerance) => Assert.ThrowsAny<ArgumentException>(() =>
        new Estimator(Bucket with { StartVolumeLitres = start, BrimLitres = brim, ToleranceMicrosiemensPerCm = tolerance }, 1));

    private static void AssertSane(in Forecast f, bool has)
    {
        if (!has)
        {
            return;
        }

        foreach (var q in new[] { f.VolumeLitres, f.FlowMillilitresPerMinute, f.MatchSeconds, f.BrimSeconds })
        {
            Assert.True(q.P05 >= 0 && q.P05 <= q.P25 && q.P25 <= q.P50 && q.P50 <= q.P75 && q.P75 <= q.P95, q.ToString());
        }

        Assert.InRange(f.BrimProbability, 0, 1);
        Assert.InRange(f.MatchedProbability, 0, 1);
    }

    private static double Width(Quantiles q) => Math.Log(q.P95 / q.P05);

    private static double Litres(double t) => 2 + (20 * (Math.Min(t, 7000) + Math.Max(t - 9000, 0)) / 60_000);

    private static Readings Read(double t, double ceiling = double.PositiveInfinity)
    {
        // A made-up flicker of +-0.5 %: a probe without any would rightly be called stuck.
        var flicker = 0.005 * (((t * 7919 % 101) / 50) - 1);
        var litres = Litres(t);
        var kept = litres <= ceiling ? 2 / litres : 2 / ceiling * Math.Exp(-(litres - ceiling) / ceiling);
        var now = MonotonicTime.FromSeconds(t);
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of((200 + (400 * kept)) * (1 + flicker), now);
        readings[Channel.TankConductivity] = Reading.Of(200 * (1 - flicker), now);
        readings[Channel.FloatLow] = Reading.Of(litres > 5 ? 1 : 0, now);
        readings[Channel.FloatHigh] = Reading.Of(litres > 10 ? 1 : 0, now);
        return readings;
    }

    private static void Unseen(Estimator estimator, int from, int to, Action<Estimator> after)
    {
        for (var t = from; t <= to; t++)
        {
            var readings = Read(t);
            readings[Channel.VesselConductivity] = Reading.Missing(Reason.NoAnswer, default);
            estimator.Step(readings, true, MonotonicTime.FromSeconds(t));
            after(estimator);
        }
    }

    private static Estimator Run(Estimator estimator, int from, int to, double ceiling = double.PositiveInfinity)
    {
        for (var t = from; t <= to; t++)
        {
            estimator.Step(Read(t, ceiling), t is < 7000 or >= 9000, MonotonicTime.FromSeconds(t));
        }

        return estimator;
    }
}
