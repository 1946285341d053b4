using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Hardware.Trace;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>One night, end to end: bytes on a bus, text of 1-wire and levels of pins through the drivers, the cycle, the valve, the log.</summary>
public sealed class NightTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("evenwater-night").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_planned_night_ends_even_and_dry()
    {
        var verdict = Rehearsal.Run(DemoStation.Read(), 1, [], 12, null);
        Assert.True(verdict.Good, string.Join('\n', verdict.Story));
        Assert.Equal(Phase.Holding, verdict.End);

        // By hand: V = 225 x 1.6 / 40 = 9.0 L, even after 8.2 h; start volume, flow and gain differ by their spread.
        Assert.InRange(verdict.LitresAtClose, 8.3, 10.4);
        Assert.InRange(verdict.ClosedAt!.Value / 3600, 6.5, 11);
        Assert.DoesNotContain(verdict.Story, s => s.What.StartsWith("alarm", StringComparison.Ordinal));
    }

    [Fact]
    public void The_same_seed_gives_the_same_forecasts_byte_for_byte_and_another_seed_others()
    {
        Assert.Equal(Forecasts(3), Forecasts(3));
        Assert.NotEqual(Forecasts(3), Forecasts(4));
    }

    [Theory]
    [InlineData("siphon-surge@2h")]
    [InlineData("float-cut@1h")]
    [InlineData("leak-wet@1h")]
    [InlineData("no-answer@1h")]
    [InlineData("open-probe@1h")]
    public void Trouble_closes_the_valve_and_spills_nothing(string fault)
    {
        // Three times the flow also mixes faster: waters that are never even within 20, so that a surge too must be stopped before the mark.
        var station = DemoStation.Read();
        station = station with { Match = station.Match with { ToleranceMicrosiemensPerCm = 20 } };
        var verdict = Rehearsal.Run(station, 1, [RigFault.Parse(fault)], 12, null);
        Assert.NotNull(verdict.ClosedAt);
        Assert.Equal(0, verdict.SpilledLitres);
        Assert.NotEqual(Trip.None, verdict.Trip);
    }

    /// <summary>10 µS/cm apart within 40: their conductivity says "even" at once. 1.6 L are a quarter of 6.4 L, 4.8 L more at 0.9 L/h are 5.3 h.</summary>
    [Fact]
    public void Waters_alike_drip_on_until_three_quarters_of_the_water_are_the_tanks()
    {
        var station = DemoStation.Read();
        var verdict = Rehearsal.Run(station with { Waters = station.Waters with { BagMicrosiemensPerCm = station.Waters.TankMicrosiemensPerCm + 10 } }, 1, [], 12, null);
        Assert.Equal(Trip.None, verdict.Trip);
        Assert.InRange(verdict.ClosedAt!.Value / 3600, 5.3, 8.5);
    }

    [Fact]
    public void The_log_replayed_makes_the_very_same_decisions() => ReplayMakesTheSame(DemoStation.Read(), "float-cut@3h");

    [Fact]
    public void The_log_of_a_night_with_draw_offs_scale_level_and_drops_replays_to_the_same_decisions()
    {
        var station = StationFile.Read(Path.Combine(Documents.Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;
        ReplayMakesTheSame(station with { DrawOffs = [new(3600, 0.4, 0.02), new(2 * 3600, 0.6, 0.05)] }, "float-cut@3h");
    }

    [Fact]
    public void The_log_of_a_paced_night_replays_to_the_same_decisions_and_keeps_every_pulse()
    {
        var station = DemoStation.Read();
        ReplayMakesTheSame(
            station with { Limits = station.Limits with { MicrosiemensPerCmPerHour = 60 }, Pacing = new Core.Stations.Pacing { Path = PacePath.Limits } }, "float-cut@3h");
        using var log = NightLog.Open(_folder);
        var turns = log.Reader.ReadRun(1).Where(e => e.Kind == EntryKind.Valve).Select(e => LogJson.Read<ValveBody>(e.Body!)).ToList();
        Assert.InRange(turns.Count(t => t.Open), 20, 60); // three hours of at most 20
        Assert.Contains(turns, t => t is { Open: false, Why: "the water has caught up with its path" });
    }

    private void ReplayMakesTheSame(Station station, string fault)
    {
        using (var log = NightLog.Open(_folder))
        {
            Rehearsal.Run(station, 5, [RigFault.Parse(fault)], 4, log);
        }

        using var again = NightLog.Open(_folder);
        var recorded = again.Reader.ReadRun(1).Where(e => e.Kind is EntryKind.Run or EntryKind.Forecast or EntryKind.Alarm).ToList();
        Assert.Contains(recorded, e => e.Kind == EntryKind.Alarm);
        Assert.Equal(station.DrawOffs.Count, again.Reader.ReadRun(1).Count(e => e.Kind == EntryKind.Event && LogJson.Read<EventBody>(e.Body!).Name == "drawn-off"));
        var state = new StationState(station);
        var clock = StationClock.Faster(1, new DateTimeOffset(2026, 1, 10, 20, 0, 0, TimeSpan.Zero), MonotonicTime.FromSeconds(1));
        using var copy = NightLog.Open(Directory.CreateDirectory(Path.Combine(_folder, "copy")).FullName);
        var recorder = new Recorder(copy, new RunNumbers(0), clock, station.Name, copy.StartBoot("replay", simulated: true), copy.Configure(station));
        var cycles = 0;
        LogReplay.Run(again.Reader.Read(0, int.MaxValue), state, (Entry cycle, in EffectBuffer effects) =>
        {
            cycles++;
            for (var i = 0; i < effects.Count; i++)
            {
                recorder.Effect(effects[i], state, cycle.At);
            }
        });
        copy.Flush();
        var replayed = copy.Reader.ReadRun(1).Where(e => e.Kind is EntryKind.Run or EntryKind.Forecast or EntryKind.Alarm).ToList();
        Assert.True(cycles > 4 * 3500, $"{cycles} cycles");
        Assert.Equal(recorded.Select(e => (e.At, e.Kind, e.Body)), replayed.Select(e => (e.At, e.Kind, e.Body)));
    }

    [Fact]
    public void After_a_power_cut_a_run_that_may_go_on_does_and_its_budget_with_it()
    {
        var station = DemoStation.Read();
        station = station with { Safety = station.Safety with { ResumeAfterRestart = true, MaxOpenMinutes = 240 } };
        var verdict = Rehearsal.Run(station, 1, [RigFault.Parse("power-cut@3h")], 6, null);
        Assert.Contains(verdict.Story, s => s.What.StartsWith("armed", StringComparison.Ordinal) && s.At > 3 * 3600);

        // 3 h before the cut and 1 h after it are the 4 h allowed; without the log it would have been 4 h after it.
        Assert.Equal(Trip.TimeBudget, verdict.Trip);
        Assert.InRange(verdict.ClosedAt!.Value, (4 * 3600) + 600, (4 * 3600) + 660);
        Assert.Equal(240 * 60, verdict.OpenSeconds, 2.0);
    }

    [Fact]
    public void After_a_power_cut_a_run_that_may_not_go_on_stays_closed_and_says_so()
    {
        var openings = 0;
        var verdict = Rehearsal.Run(DemoStation.Read(), 1, [RigFault.Parse("power-cut@3h")], 5, null, watch: night =>
        {
            openings += night.Rig.ValveOpen && night.Now.Seconds > (3 * 3600) + 5 ? 1 : 0;
            return false;
        });
        Assert.Contains(verdict.Story, s => s.What == "the power is back; by the log the run is dripping");
        Assert.Equal(0, openings);
        Assert.Equal(Phase.Holding, verdict.End);
        Assert.Contains(verdict.Alarms, a => a.Alarm == Core.Alarms.AlarmId.DripStopped);
    }

    [Fact]
    public void After_a_power_cut_nothing_opens_while_a_probe_is_silent()
    {
        var station = DemoStation.Read();
        station = station with { Safety = station.Safety with { ResumeAfterRestart = true } };
        var openings = 0;
        var verdict = Rehearsal.Run(station, 1, [RigFault.Parse("power-cut@1h"), RigFault.Parse("no-answer@3601s")], 2, null, watch: night =>
        {
            openings += night.Rig.ValveOpen && night.Now.Seconds > 3600 + 5 ? 1 : 0;
            return false;
        });
        Assert.Contains(verdict.Story, s => s.What.StartsWith("armed", StringComparison.Ordinal) && s.At > 3600);
        Assert.Equal(0, openings);
        Assert.Equal(Phase.Holding, verdict.End);
    }

    [Fact] // 225 x 1.6 / 25 = 14.4 L, more than the pail holds. 6.8 of 8.8 L out after 8 h: 41 µS/cm apart in 2.0 L, even at 2.0 x 41 / 25 = 3.3 L.
    public void A_planned_draw_off_that_is_done_and_told_brings_a_small_pail_to_a_match()
    {
        var river = DemoStation.Read();
        var station = river with
        {
            Match = river.Match with { ToleranceMicrosiemensPerCm = 25 },
            Source = river.Source with { IntakeDepthMillimetres = 25 }, // 12 L, where the river's own ends the drip at 8
            DrawOffs = [new(8 * 3600, 6.8, 0.02)],
        };
        var verdict = Rehearsal.Run(station, 1, [], 12, null);
        Assert.True(verdict.Good, string.Join('\n', verdict.Story));
        Assert.Contains(verdict.Story, s => s.What == "6.8 L are drawn off by hand" && s.At is > 8 * 3600 and < (8 * 3600) + 10);
        Assert.InRange(verdict.LitresAtClose, 2.4, 5);
        Assert.InRange(verdict.LitresMost, 7.5, 10.4);
        Assert.False(Rehearsal.Run(station with { DrawOffs = [] }, 1, [], 12, null).ClosedByPlan);
    }

    private string Forecasts(ulong seed)
    {
        using var text = new StringWriter();
        var file = new ForecastFile(text);
        Rehearsal.Run(DemoStation.Read(), seed, [], 2, null, (state, now, open) => file.Write(now.Seconds, state.Forecast, open, null));
        Assert.True(text.ToString().Split('\n').Length > 200);
        return text.ToString();
    }
}
