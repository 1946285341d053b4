using Evenwater.Calibrating;
using Evenwater.Commands;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Options;
using Evenwater.Tests.Options;

namespace Evenwater.Tests.Calibrating;

/// <summary>The whole guide on the rig, from the cup to what would go into the book, and what it refuses.</summary>
public class CalibrateGuideTests
{
    private const string Constant = "sensors.vesselConductivity.cellConstantPerCm";

    /// <summary>The demo's station with a front end that reads the standard of 1413: to 2048 µS/cm.</summary>
    private static readonly Station River = DemoStation.Read() is var river ? river with
    {
        Sensors = river.Sensors with
        {
            VesselConductivity = river.Sensors.VesselConductivity with { FeedbackOhms = 1000 },
            TankConductivity = river.Sensors.TankConductivity! with { FeedbackOhms = 1000 },
        },
    } : null!;

    [Theory] // the standard's temperature is some degrees off 25 °C: by its label alone the constant would be 13 % too high at 18.3 °C, and 8 % too low at 29 °C
    [InlineData(1, 18.3, new[] { "1413" })]
    [InlineData(2, 29.0, new[] { "1413" })]
    [InlineData(3, 21.5, new[] { "147", "1413" })]
    public async Task A_cell_is_found_as_it_is_whatever_the_cup_s_temperature(ulong seed, double celsius, string[] standards)
    {
        var rig = new SimulatedRig(River, seed, []);
        using var probes = OwnProbes.On(River, rig);
        var ice = await GuideAsync(River, probes, new CalibrateAsk { Probe = "vessel-thermometer", Ice = true });
        Assert.True(ice.IsFound, ice.Refusal.ToString());
        var cold = Record(ice.Found);
        Assert.Equal(rig.Facts.VesselThermometer.OffsetCelsius, cold.Values[0].After, 0.06);

        var station = CalibrationsInForce.With(River, cold, out _)!;
        var found = (await GuideAsync(station, probes, new CalibrateAsk { Probe = "vessel-conductivity", Standards = standards, SimulatedCupCelsius = celsius }, [cold])).Found!;
        var constant = found.Values.Single(v => v.Key == Constant);

        // The rig's cell gives its gain times what the file's constant says: its true constant is the file's over that gain.
        var truth = River.Sensors.VesselConductivity.CellConstantPerCm / rig.GainOf(Core.Channel.VesselConductivity);
        Assert.True(Math.Abs(truth - 1) > 0.003, "the seed gives a cell that is off, or this would prove nothing");
        Assert.Equal(truth, constant.After, 0.006);
        Assert.InRange(constant.Sd / constant.After, 0.003, 0.01);
        Assert.NotNull(CalibrationsInForce.With(station, Record(found), out _));
    }

    [Fact]
    public async Task Both_in_one_cup_read_alike_afterwards()
    {
        var rig = new SimulatedRig(River with { Probes = new() { GainRatioSd = 0.05 } }, 5, []);
        var found = (await GuideAsync(River, rig, new CalibrateAsk { Probe = "both" })).Found!;
        double After(string key) => found.Values.Single(v => v.Key == key).After;
        Assert.Equal(rig.GainOf(Core.Channel.VesselConductivity) / rig.GainOf(Core.Channel.TankConductivity), After("sensors.tankConductivity.cellConstantPerCm"), 0.007);
        Assert.Equal(rig.Facts.TankThermometer.OffsetCelsius - rig.Facts.VesselThermometer.OffsetCelsius, After("sensors.tankThermometerOffsetCelsius"), 0.07);
        Assert.InRange(After("probes.gainRatioSd"), 0.003, 0.0036);
    }

    /// <summary>Two matched cells are carried to 25 °C by two thermometers; when one of these is moved, the match is no longer what it was: a degree is 2 % (potassium chloride: 1.9 % at 20 °C, PAC 73:1783).</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_thermometer_that_is_moved_alone_makes_two_matched_cells_agree_less_surely(bool vessel)
    {
        double Off(SimulatedRig rig) => vessel ? rig.Facts.VesselThermometer.OffsetCelsius : rig.Facts.TankThermometer.OffsetCelsius;
        var rig = Enumerable.Range(1, 100).Select(seed => new SimulatedRig(River, (ulong)seed, [])).First(rig => Math.Abs(Off(rig)) > 0.2);
        var truth = Off(rig);
        using var probes = OwnProbes.On(River, rig);
        var found = (await GuideAsync(River, probes, new CalibrateAsk { Probe = vessel ? "vessel-thermometer" : "tank-thermometer", Ice = true })).Found!;

        // What the file says of both, 0.003, and 0.02 for each degree that the readings move by.
        Assert.Equal(Math.Sqrt((0.003 * 0.003) + (0.02 * 0.02 * truth * truth)), found.Values.Single(v => v.Key == "probes.gainRatioSd").After, 0.0012);
        var moved = CalibrationsInForce.With(River, Record(found), out _)!;

        // What it is for: the two cells in the same water now differ by more than three of the old standard deviations, and by less than three of the new.
        double Reading(Station station) => NaturalTo25(station, vessel ? 1 : -1);
        var apart = Math.Abs(Reading(moved) / Reading(River) - 1);
        Assert.InRange(apart, 0.015 * Math.Abs(truth), 3 * moved.Probes.GainRatioSd);

        // Moved by nothing to speak of, nothing is said; matched anew, it is what one cup tells.
        var again = (await GuideAsync(moved, probes, new CalibrateAsk { Probe = vessel ? "vessel-thermometer" : "tank-thermometer", Ice = true })).Found!;
        Assert.Single(again.Values);
        var both = (await GuideAsync(moved, probes, new CalibrateAsk { Probe = "both" })).Found!;
        Assert.InRange(both.Values.Single(v => v.Key == "probes.gainRatioSd").After, 0.003, 0.0036);
    }

    /// <summary>The vessel's reading over the tank's in one water of 20 °C, as their thermometers' offsets have it (1) or the other way round (-1).</summary>
    private static double NaturalTo25(Station station, int power) => Math.Pow(
        Core.Water.NaturalWater.FactorTo25(20 - station.Sensors.VesselThermometerOffsetCelsius) / Core.Water.NaturalWater.FactorTo25(20 - station.Sensors.TankThermometerOffsetCelsius), power);

    [Fact]
    public async Task A_drifted_cell_is_graded_and_nothing_is_set()
    {
        // The rig's own cell, whose constant the file has 10 % too low: it reads 10 % low in the standard as well. Ed = 100 x (Vs - Vc) / Vc.
        var rig = new SimulatedRig(River, 1, []);
        var low = CalibratedKeys.Named(Constant)!.With(River, 0.9);
        var found = (await GuideAsync(low, rig, new CalibrateAsk { Probe = "vessel-conductivity", Check = true, Standards = ["1413"] })).Found!;
        Assert.Empty(found.Values);
        Assert.Equal(100 * ((1 / (0.9 * rig.GainOf(Core.Channel.VesselConductivity))) - 1), found.Drift!.Check.DriftPercent, 0.8);
        Assert.InRange(Math.Abs(found.Drift.Check.FoulingPercent), 0, 0.6);
        Assert.Contains("fair", found.Note, StringComparison.Ordinal);

        // A second meter's reading after the cleaning is asked for after the cleaning: as an option it had to be told before there was one. Ef = (Ma - Mb) - (Fa - Fb): the water rose by 20.
        var ask = new CalibrateAsk { Probe = "vessel-conductivity", Check = true, Standards = ["1413"], MeterBefore = 400, By = "Ann" };
        Assert.Null(ask.Asked(River, atTerminal: true));
        Assert.Equal("--meter-after", (ask with { Yes = true }).Asked(River, atTerminal: false)?.Key);
        var answers = new Queue<string>(["420 µS", "-1", "420"]);
        using var probes = OwnProbes.On(River, rig);
        var metered = (await new CalibrateGuide(low, probes, [], _ => { }, _ => Task.CompletedTask, _ => answers.Dequeue()).RunAsync(ask)).Found!.Drift!.Check;
        Assert.Equal((0, 400, 420), (answers.Count, metered.MeterBefore, metered.MeterAfter));
        Assert.Equal(metered.ProbeAfter - metered.ProbeBefore - 20, metered.Fouling, 1e-9);
    }

    /// <summary>Grades of specific conductance by TM1-D3: to 3 % excellent, to 10 % good, to 15 % fair (see DriftRating).</summary>
    [Theory]
    [InlineData(102, null, 90)]
    [InlineData(109, null, 90)]
    [InlineData(112, null, 1)] // "calibrate now"
    [InlineData(150, null, 1)]
    [InlineData(150, 30, 30)]
    public void A_check_that_says_to_calibrate_now_does_not_put_it_off(double standard, int? dueDays, int days)
    {
        var check = new DriftCheck { ProbeBefore = 400, ProbeAfter = 400, MeterBefore = 400, MeterAfter = 400, Standard = standard, ProbeInStandard = 100 };
        var now = new DateTimeOffset(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);
        var ask = new CalibrateAsk { Probe = "vessel-conductivity", Check = true, By = "Ann", DueDays = dueDays };
        Assert.Equal(now.AddDays(days), ask.Record(new Found([], "") { Drift = new(DriftKind.SpecificConductance, check) }, now).Checked().Found!.Due);
    }

    [Fact]
    public async Task The_wrong_liquid_is_refused_with_the_one_it_would_be()
    {
        var outcome = await GuideAsync(River, new SimulatedRig(River, 1, []), Cell("1413"), hands: asked => asked.StartsWith("vessel ", StringComparison.Ordinal) ? "vessel 138 22" : asked);
        Assert.False(outcome.IsFound);
        Assert.Equal("standard.cellConstantPerCm", outcome.Refusal!.Value.Key);
        Assert.Contains("the 147 standard", outcome.Refusal.Value.Advice, StringComparison.Ordinal);
        Assert.Contains("former calibration stays", outcome.Refusal.Value.Advice, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Swapped_probes_are_refused_and_told_as_such()
    {
        var outcome = await GuideAsync(River, new SimulatedRig(River, 1, [RigFault.Parse("probes-swapped@0s")]), Cell("1413"));
        Assert.Equal("vessel-conductivity", outcome.Refusal!.Value.Key);
        Assert.Contains("It is the other probe", outcome.Refusal.Value.Advice, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("noisy-probe@0s", "still moving or scattering")]
    [InlineData("open-probe@0s", "no reading")] // whatever its constant would be: see that it is connected
    [InlineData("stuck-probe@0s", "cellConstantPerCm")]
    [InlineData("no-answer@30s", "no reading")]
    public async Task A_probe_that_never_settles_or_reads_what_can_not_be_is_refused(string fault, string said)
    {
        var outcome = await GuideAsync(River, new SimulatedRig(River, 1, [RigFault.Parse(fault)]), Cell("1413"));
        Assert.Contains(said, outcome.Refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_standard_too_strong_for_the_front_end_and_a_cup_off_its_table_are_refused()
    {
        var strong = await GuideAsync(River, new SimulatedRig(River, 1, []), Cell("kcl-0.1"));
        Assert.Contains("up to 2048 µS/cm", strong.Refusal.ToString(), StringComparison.Ordinal);
        var hot = await GuideAsync(River, new SimulatedRig(River, 1, []), Cell("1413"), hands: asked => asked.StartsWith("vessel ", StringComparison.Ordinal) ? "vessel 1800 38" : asked);
        Assert.Contains("0 to 35 °C", hot.Refusal.ToString(), StringComparison.Ordinal);
    }

    /// <summary>What ends the looking is told, and not that a probe did not settle.</summary>
    [Theory]
    [InlineData("vessel-conductivity")]
    [InlineData("vessel-thermometer")]
    [InlineData("both")]
    public async Task A_run_that_begins_meanwhile_and_a_daemon_that_stops_end_it_and_are_told(string probe)
    {
        var ask = new CalibrateAsk { Probe = probe, Standards = ["147"], Ice = true };
        using var begun = new Ending(OwnProbes.On(River, new SimulatedRig(River, 1, [])), look => look with { Running = true });
        var refusal = (await GuideAsync(River, begun, ask)).Refusal.ToString()!;
        Assert.Contains("a run was begun meanwhile", refusal, StringComparison.Ordinal);
        Assert.Contains("back into their waters at once", refusal, StringComparison.Ordinal);
        Assert.InRange(begun.Looks, 60, 62);

        using var gone = new Ending(OwnProbes.On(River, new SimulatedRig(River, 1, [])), _ => null);
        Assert.Contains("the daemon: gave no readings any more", (await GuideAsync(River, gone, ask)).Refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Drops_are_counted_in_a_run()
    {
        var lagoon = StationFile.Read(GoodFile.Path.Replace("sim-river", "sim-lagoon", StringComparison.Ordinal)).Station!;
        var fallen = 0L;
        using var probes = new Ending(OwnProbes.On(lagoon, new SimulatedRig(lagoon, 1, [])), look => look with { Running = true, Drops = fallen += 200 }, after: 0);
        var found = (await GuideAsync(lagoon, probes, new CalibrateAsk { Probe = "drops", Millilitres = 10 })).Found!;
        Assert.Equal(0.05, found.Values[0].After, 1e-9); // 200 between the two looks

        // At rest the valve is closed: a keeper was told to hold a cylinder under a drip that could not run, and then to collect more.
        var told = new List<string>();
        using var resting = OwnProbes.On(lagoon, new SimulatedRig(lagoon, 1, []));
        var guide = new CalibrateGuide(lagoon, resting, [], _ => { }, doing =>
        {
            told.Add(doing);
            return Task.CompletedTask;
        });
        Assert.Contains("sim-lagoon has no run", (await guide.RunAsync(new CalibrateAsk { Probe = "drops", Millilitres = 10 })).Refusal.ToString(), StringComparison.Ordinal);
        Assert.Empty(told);
        Assert.True((await guide.RunAsync(new CalibrateAsk { Probe = "drops", Millilitres = 10, Drops = 200 })).IsFound); // by eye

        // A daemon that was started again counts from nothing.
        var counts = new Queue<long>([0, 350, 40]);
        using var anew = new Ending(OwnProbes.On(lagoon, new SimulatedRig(lagoon, 1, [])), look => look with { Running = true, Drops = counts.Dequeue() }, after: 0);
        Assert.Contains("the count began anew", (await GuideAsync(lagoon, anew, new CalibrateAsk { Probe = "drops", Millilitres = 10 })).Refusal.ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--standard", "vessel-conductivity", new string[0], 1, 1)]
    [InlineData("--standard", "vessel-conductivity", new[] { "84" }, 1, 1)]
    [InlineData("--standard", "vessel-conductivity", new[] { "1413", "1413" }, 1, 1)]
    [InlineData("--standard", "vessel-conductivity", new[] { "1413", "kcl-0.01" }, 1, 1)] // 1413 and 1409.3 µS/cm: the very same, and after two cups it was refused
    [InlineData("--tolerance", "vessel-conductivity", new[] { "1413" }, 7, 1)]
    [InlineData("--nominal", "vessel-conductivity", new[] { "1413" }, 1, 2)]
    [InlineData("--ice, --reference", "vessel-thermometer", new string[0], 1, 1)]
    [InlineData("probe", "load-cell", new string[0], 1, 1)]
    [InlineData("probe", "teapot", new string[0], 1, 1)]
    public void What_can_not_be_asked_is_refused_by_its_option(string key, string probe, string[] standards, double tolerance, double nominal)
    {
        var ask = new CalibrateAsk { Probe = probe, Standards = standards, TolerancePercent = tolerance, NominalPerCm = nominal, Yes = true, By = "keeper" };
        Assert.Equal(key, ask.Asked(River, atTerminal: false)!.Value.Key);
    }

    /// <summary>Of "--undo --history" the one was done and the other was not heard.</summary>
    [Fact]
    public void Of_what_undoes_lists_checks_and_reviews_only_one_can_be_asked()
    {
        var ask = new CalibrateAsk { Probe = "vessel-conductivity", By = "keeper", Standards = ["1413"], Yes = true };
        foreach (var two in new[] { ask with { Undo = true, History = true }, ask with { Check = true, Undo = true }, ask with { Check = true, Review = "x.csv" } })
        {
            Assert.Equal("--history, --undo, --check, --review", two.Asked(River, atTerminal: true)!.Value.Key);
        }

        Assert.Null((ask with { Undo = true }).Asked(River, atTerminal: false));
        Assert.Null((ask with { Check = true }).Asked(River, atTerminal: false));
    }

    private static CalibrateAsk Cell(string standard) => new() { Probe = "vessel-conductivity", Standards = [standard] };

    private static CalibrationRecord Record(Found found) =>
        new CalibrateAsk { Probe = "vessel-conductivity", By = "keeper" }.Record(found, new(2026, 3, 1, 18, 0, 0, TimeSpan.Zero)).Checked().Found!;

    private static async Task<Outcome<Found>> GuideAsync(Station station, SimulatedRig rig, CalibrateAsk ask, Func<string, string>? hands = null)
    {
        using var probes = new Handled(OwnProbes.On(River, rig), hands ?? (asked => asked));
        return await GuideAsync(station, probes, ask, []);
    }

    private static Task<Outcome<Found>> GuideAsync(Station station, ILiveProbes probes, CalibrateAsk ask, IReadOnlyList<CalibrationRecord>? standing = null) =>
        new CalibrateGuide(station, probes, standing ?? [], _ => { }, _ => Task.CompletedTask).RunAsync(ask);

    /// <summary>Probes whose keeper may do something else than was said.</summary>
    private sealed class Handled(OwnProbes probes, Func<string, string> hands) : ILiveProbes
    {
        public Task<LiveLook?> LookAsync() => probes.LookAsync();

        public Task<string?> DoAsync(string what) => probes.DoAsync(hands(what));

        public void Dispose() => probes.Dispose();
    }

    /// <summary>Probes that look otherwise after a minute.</summary>
    private sealed class Ending(OwnProbes probes, Func<LiveLook, LiveLook?> otherwise, int after = 60) : ILiveProbes
    {
        public int Looks { get; private set; }

        public async Task<LiveLook?> LookAsync() => await probes.LookAsync() is { } look ? ++Looks > after ? otherwise(look) : look : null;

        public Task<string?> DoAsync(string what) => probes.DoAsync(what);

        public void Dispose() => probes.Dispose();
    }
}
