using Evenwater.Core;
using Evenwater.Hardware.Trace;
using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.PlantTests;

/// <summary>Each trouble is really in the night, where and when the truth says.</summary>
public sealed class TroubleTests
{
    private static IEnumerable<Night> Nights(string kind, int count = 12) => Enumerable.Range(1, count).Select(seed => PlantKinds.Named(kind).Make(seed));

    [Theory]
    [InlineData("surge", 1.7, 5)]
    [InlineData("sudden-clog", 0.05, 0.55)]
    public void The_flow_jumps_by_about_the_factor_told(string kind, double least, double most)
    {
        foreach (var night in Nights(kind))
        {
            var jump = night.Truth!.Events.Single();
            var before = night.Truth.Rows.LastOrDefault(r => r.Seconds < jump.AtSeconds && r.MillilitresPerMinute > 0);
            var after = night.Truth.Rows.FirstOrDefault(r => r.Seconds > jump.AtSeconds + 300 && r.MillilitresPerMinute > 0);
            var ratio = after.MillilitresPerMinute / before.MillilitresPerMinute;
            Assert.InRange(jump.Factor!.Value, least, most);
            Assert.InRange(ratio / jump.Factor.Value, 0.7, 1.35);
        }
    }

    [Fact]
    public void A_slow_clog_takes_what_it_is_said_to_take_every_hour() => Assert.All(Nights("slow-clog"), night =>
    {
        var clog = night.Truth!.Events.Single();
        var last = night.Truth.Rows.Last(r => r.MillilitresPerMinute > 0);
        var told = Math.Log(clog.Factor!.Value) * (last.Seconds - clog.AtSeconds) / 3600;
        Assert.InRange(Math.Log(last.MillilitresPerMinute / night.Truth.Rows[0].MillilitresPerMinute) - told, -1.2, 0.6); // head and trend besides
        Assert.InRange(told, -7, -0.6);
    });

    [Fact]
    public void The_tank_ends_at_about_the_factor_told() => Assert.All(Nights("tank-change").Where(n => n.Truth!.EndSeconds > n.Truth.Events[0].AtSeconds + 3700), night =>
        Assert.Equal(night.Truth!.Events.Single().Factor!.Value, night.Truth.Rows[^1].Tank / night.Truth.StartTank, 0.01));

    [Fact]
    public void A_leaking_valve_drips_while_it_is_closed_and_a_good_one_does_not()
    {
        foreach (var night in Nights("leaking-valve"))
        {
            var leak = night.Truth!.Events.Single();
            var closings = night.Prior.ValveCommands.Chunk(2).ToArray();
            foreach (var (from, to) in closings.Select(c => (c[0].AtSeconds, c[1].AtSeconds)))
            {
                var flows = night.Truth.Rows.Where(r => r.Seconds > from && r.Seconds < to).Select(r => r.MillilitresPerMinute).ToArray();
                Assert.All(flows, f => Assert.Equal(from >= leak.AtSeconds, f > 0));
            }
        }
    }

    [Fact]
    public void Swapped_probes_show_each_others_water()
    {
        foreach (var night in Nights("swapped-probes"))
        {
            var swap = night.Truth!.Events.Single().AtSeconds;
            var i = night.Truth.Rows.ToList().FindIndex(r => r.Seconds > swap + 600);
            var (truth, row) = (night.Truth.Rows[i], night.Rows[i * 15]);
            var shown = night.Rows.Skip(i * 15).Take(100).Average(r => r.Readings[Channel.VesselConductivity].TryGet(out var v) ? v : truth.Tank);
            Assert.Equal(truth.Seconds, row.Seconds);
            Assert.InRange(Math.Abs(shown - truth.Tank), 0, 0.08 * truth.Tank);
        }
    }

    [Fact]
    public void Probe_troubles_of_all_five_kinds_and_of_both_probes_come_and_show()
    {
        var seen = new HashSet<(string, string)>();
        foreach (var night in Nights("probe-trouble", 60))
        {
            var trouble = night.Truth!.Events.Single();
            var channel = trouble.Probe == "b" ? Channel.VesselConductivity : Channel.TankConductivity;
            var rows = night.Rows.Where(r => r.Seconds >= trouble.AtSeconds).Take(100).ToArray();
            if (rows.Length < 100)
            {
                continue; // over before it began
            }

            seen.Add((trouble.Kind, trouble.Probe!));
            var values = rows.Select(r => r.Readings[channel].TryGet(out var v) ? (double?)v : null).ToArray();
            Assert.True(
                trouble.Kind switch
                {
                    "probe_open" => values.All(v => v is null),
                    "probe_stuck" => values.OfType<double>().Distinct().Count() == 1,
                    "probe_dry" => values.OfType<double>().All(v => v < 10),
                    "probe_burst" => Spread(values.OfType<double>()) > 0.1,
                    _ => true, // a drift is slow: judged below
                },
                night.Name);
        }

        Assert.InRange(seen.Count, 9, 10);
        Assert.Equal(5, seen.Select(s => s.Item1).Distinct().Count());
    }

    [Fact]
    public void A_drifting_probe_leaves_the_water_and_the_other_does_not()
    {
        var night = PlantKinds.Named("nominal").Plan(3, Care.Matched);
        var plan = night.Plan with { VesselProbe = night.Plan.VesselProbe with { Trouble = new ProbeTrouble(ProbeFault.Drift, 3600, double.PositiveInfinity, 0.1) } };
        var made = new NightMaker(plan, night.Chance).Make("drift-3", "drift");
        var last = made.Rows.Skip(made.Rows.Count - 200).ToArray();
        var hours = (last[100].Seconds - 3600) / 3600;
        Assert.Equal(0.1 * hours, Math.Log(Mean(last, Channel.VesselConductivity) / made.Truth!.Rows[^1].Vessel), 0.05);
        Assert.Equal(0, Math.Log(Mean(last, Channel.TankConductivity) / made.Truth.Rows[^1].Tank), 0.02);
    }

    /// <summary>Before and after a bubble comes the water hardly changes; what the probe reads does, by as much as is told.</summary>
    [Fact]
    public void Bubbles_and_moved_probes_change_what_is_read_by_what_is_told_and_bubbles_go_again()
    {
        var seen = 0;
        foreach (var night in Nights("moved-probe", 20))
        {
            var moved = night.Truth!.Events.Single();
            var off = Off(night, moved.AtSeconds, moved.AtSeconds + 600) - Off(night, moved.AtSeconds - 600, moved.AtSeconds);
            Assert.Equal(Math.Log(moved.Factor!.Value), off, 0.01);
            Assert.Equal(off, Off(night, moved.AtSeconds + 600, moved.AtSeconds + 1200) - Off(night, moved.AtSeconds - 600, moved.AtSeconds), 0.01);
        }

        foreach (var night in Nights("bubbles", 20).Where(n => n.Truth!.Events.Count == 1))
        {
            var came = night.Truth!.Events[0];
            Assert.True(came.Factor < 1);
            var off = Off(night, came.AtSeconds, came.AtSeconds + 120) - Off(night, came.AtSeconds - 300, came.AtSeconds);
            Assert.Equal(Math.Log(came.Factor!.Value), off, 0.015);
            Assert.Equal(0, Off(night, came.AtSeconds + 6000, came.AtSeconds + 6600) - Off(night, came.AtSeconds - 300, came.AtSeconds), 0.04);
            seen++;
        }

        Assert.True(seen > 0);
    }

    /// <summary>ln of what the vessel's probe reads over the truth, in the mean.</summary>
    private static double Off(Night night, double from, double to)
    {
        var truth = night.Truth!.Rows.Where(r => r.Seconds >= from - 90 && r.Seconds < to).Average(r => Math.Log(r.Vessel));
        return night.Rows.Where(r => r.Seconds >= from && r.Seconds < to && r.Readings[Channel.VesselConductivity].IsGood).Average(r => Math.Log(r.Readings[Channel.VesselConductivity].Value)) - truth;
    }

    /// <summary>Beside the quiet night of the same draw: some readings in a hundred leap by a twentieth to a half, in both probes.</summary>
    [Fact]
    public void Spikes_are_rare_and_far_and_in_both_probes()
    {
        foreach (var night in Nights("spikes", 12))
        {
            foreach (var channel in (ReadOnlySpan<Channel>)[Channel.VesselConductivity, Channel.TankConductivity])
            {
                var values = night.Rows.Where(r => r.Readings[channel].IsGood).Select(r => r.Readings[channel].Value).ToArray();
                var leaps = values.Zip(values.Skip(1), (a, b) => Math.Abs(b / a - 1)).Count(leap => leap > 0.04);
                Assert.InRange((double)leaps / values.Length, 0.003, 0.12);
            }
        }
    }

    [Fact]
    public void Slow_rows_are_a_quarter_of_a_minute_to_a_minute_apart()
    {
        var apart = Nights("slow-rows", 20).Select(night => night.Rows[11].Seconds - night.Rows[10].Seconds).Distinct().Order();
        Assert.Equal([15, 30, 60], apart);
    }

    [Fact]
    public void Stuck_floats_stay_as_told_whatever_the_water_does()
    {
        foreach (var night in Nights("float-stuck", 24))
        {
            var stuck = night.Truth!.Events.Single();
            var channel = stuck.Kind.Contains("low", StringComparison.Ordinal) ? Channel.FloatLow : Channel.FloatHigh;
            var wet = stuck.Kind.EndsWith("wet", StringComparison.Ordinal) ? 1.0 : 0.0;
            Assert.All(night.Rows.Where(r => r.Seconds >= stuck.AtSeconds), r => Assert.Equal(wet, r.Readings[channel].Value));
        }
    }

    [Fact]
    public void Floats_turn_wet_where_they_hang_and_flicker_only_now_and_then()
    {
        var float0 = new FloatSwitch.Setup { AtLitres = 5, TravelLitres = 0.02, WaveSdLitres = 0.02, FlickerShare = 0.002 };
        var it = new FloatSwitch(float0, new Chance(1));
        var wet = Enumerable.Range(0, 100_000).Select(i => (Litres: i / 10_000.0, Wet: it.Read(i, i / 10_000.0, default).Value > 0)).ToArray();
        Assert.InRange(wet.Count(w => w.Litres < 4.8 && w.Wet), 50, 150); // 48,000 rows, 2 in 1,000
        Assert.InRange(wet.Count(w => w.Litres > 5.2 && !w.Wet), 50, 150);
    }

    [Fact]
    public void Drops_are_counted_exactly_while_they_are_few_and_too_few_when_they_are_many()
    {
        Assert.Equal(2000, Counted(new() { KneePerSecond = 5, Power = 0.3 }, 10), 1.0); // 100 mL at 10 mL/min, 3.3 drops a second
        Assert.Equal(5 * Math.Pow(16.667 / 5, 0.3) * 120, Counted(new() { KneePerSecond = 5, Power = 0.3 }, 50), 2.0);
        Assert.Equal(2000 / (1 + (16.667 * 0.05)), Counted(new() { BlindSeconds = 0.05 }, 50), 2.0);

        static double Counted(DropCounter.Setup setup, double millilitresPerMinute)
        {
            var counter = new DropCounter(setup);
            var sum = 0.0;
            for (var t = 0; t < 100 / millilitresPerMinute * 60; t++)
            {
                counter.Pass(millilitresPerMinute / 60, 1);
                sum += counter.Read(default).Value;
            }

            return sum;
        }
    }

    private static double Mean(TraceRow[] rows, Channel channel) => rows.Select(r => r.Readings[channel]).Where(r => r.IsGood).Average(r => r.Value);

    /// <summary>Sd of the ln of values.</summary>
    private static double Spread(IEnumerable<double> values)
    {
        var ln = values.Where(v => v > 0).Select(v => Math.Log(v)).ToArray();
        return Math.Sqrt(ln.Average(x => Math.Pow(x - ln.Average(), 2)));
    }
}
