using Evenwater.Calibrating;
using Evenwater.Commands;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Options;
using Evenwater.Tests.Documents;

namespace Evenwater.Tests.Calibrating;

/// <summary>Scale and level sensor by volumes poured into the rig's vessel, and what a keeper at a terminal is asked.</summary>
public class VolumeGuideTests
{
    private static readonly Station Lagoon = StationFile.Read(Path.Combine(Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;

    [Fact]
    public async Task A_scale_and_a_level_sensor_are_found_as_they_are()
    {
        var rig = new SimulatedRig(Lagoon, 4, []);
        using var probes = OwnProbes.On(Lagoon, rig);
        var guide = new CalibrateGuide(Lagoon, probes, [], _ => { }, _ => Task.CompletedTask);
        Assert.InRange(rig.VesselEc25, 40_000, 60_000); // 2.3 % heavier than fresh water, which a keeper is told to take
        var scale = (await guide.RunAsync(new CalibrateAsk { Probe = "load-cell", Litres = [0, 2, 5], LitresSd = 0.01, WaterCelsius = 23 })).Found!;

        // The rig's scale reads 21500 counts more for each kilogram, and its zero is off by what the night has drawn.
        var cell = Lagoon.Sensors.LoadCell!;
        Assert.Equal(cell.ZeroCounts + (cell.CountsPerKilogram * rig.Facts.ScaleZeroKilograms), scale.Values[0].After, 0.01 * cell.CountsPerKilogram);
        Assert.Equal(cell.CountsPerKilogram, scale.Values[1].After, 0.003 * cell.CountsPerKilogram); // fresh water at 23 °C: 0.99754 kg/L

        var level = (await guide.RunAsync(new CalibrateAsk { Probe = "level", Litres = [0, 2, 5], LitresSd = 0.01 })).Found!;
        Assert.Equal(0.4 + (rig.Facts.LevelZeroMillimetres / 312.5), level.Values[0].After, 0.002);
        Assert.Equal(312.5, level.Values[1].After, 3.0);
    }

    /// <summary>By hand: of two volumes, 0 and 5 L, each known to 0.2 L, the zero is known to 0.2 L (sd / sqrt(1 / n + mean² / spread) with n = 2, mean 2.5, spread 12.5: 1): the run's forecast took it for 0.05 kg.</summary>
    [Theory]
    [InlineData("load-cell", "sensors.loadCell.zeroSdKilograms", 0.05, 0.1995)] // 0.9975 kg/L at 23 °C
    [InlineData("level", "sensors.level.zeroSdMillimetres", 3, 0)]
    public async Task A_zero_by_badly_known_volumes_is_no_better_known_than_they_are(string probe, string key, double before, double after)
    {
        using var probes = OwnProbes.On(Lagoon, new SimulatedRig(Lagoon, 4, []));
        var ask = new CalibrateAsk { Probe = probe, Litres = [0, 5], LitresSd = 0.2, WaterCelsius = 23, By = "keeper" };
        after = after > 0 ? after : 0.2 / Lagoon.Vessel.AreaSquareMetres!.Value; // a litre on a square metre is a millimetre
        var (found, station) = await Made(Lagoon, [], ask);
        Assert.Equal((before, after), (found!.Before!.Value, Math.Round(found.After, 4)), (a, b) => a.Item1 == b.Item1 && Math.Abs(a.Item2 - b.Item2) < 0.001);
        var record = ask.Record(new Found([found], ""), DateTimeOffset.UnixEpoch);
        Assert.Null((await Made(station, [record], ask)).Value); // as it holds already
        Assert.Equal(before, (await Made(station, [record], ask with { LitresSd = 0.01 })).Value!.After); // by better ones what the file says holds again
        Assert.Null((await Made(Lagoon, [], ask with { LitresSd = 0.01 })).Value);

        async Task<(CalibratedValue? Value, Station Station)> Made(Station at, IReadOnlyList<CalibrationRecord> standing, CalibrateAsk asked)
        {
            var made = (await new CalibrateGuide(at, probes, standing, _ => { }, _ => Task.CompletedTask).RunAsync(asked)).Found!;
            return (made.Values.FirstOrDefault(value => value.Key == key), CalibrationsInForce.With(at, asked.Record(made, DateTimeOffset.UnixEpoch), out var why) ?? throw new InvalidOperationException(why));
        }
    }

    [Theory]
    [InlineData(null, "vessel-thermometer|ice", "vessel-thermometer True  0 ")]
    [InlineData("vessel-thermometer", "24.93", "vessel-thermometer False 24.93 0 ")]
    [InlineData("load-cell", "0 2 5", "load-cell False  3 ")]
    [InlineData("tank-conductivity", "1413, kcl-0.1", "tank-conductivity False  0 1413+kcl-0.1")]
    public void A_keeper_is_asked_for_what_was_not_said(string? probe, string answers, string expected)
    {
        var left = new Queue<string>(answers.Split('|'));
        var ask = new CalibrateAsk { Probe = probe, By = "keeper" }.Completed(Lagoon, _ => left.Dequeue());
        Assert.Empty(left);
        Assert.Equal(expected, FormattableString.Invariant($"{ask.Probe} {ask.Ice} {ask.ReferenceCelsius} {ask.Litres.Count} {string.Join('+', ask.Standards)}"));
        Assert.Null(ask.Asked(Lagoon, atTerminal: true));
    }

    [Theory] // the demo's station has neither scale, level sensor nor drop counter
    [InlineData("load-cell")]
    [InlineData("level")]
    [InlineData("drops")]
    public void Of_what_a_station_has_not_nothing_is_asked(string probe)
    {
        var river = DemoStation.Read();
        var ask = new CalibrateAsk { Probe = probe, By = "keeper" }.Completed(river, question => throw new InvalidOperationException($"asked: {question}"));
        Assert.Equal("probe", ask.Asked(river, atTerminal: true)?.Key);
    }

    /// <summary>"2,5" is two and a half to half the world, and never 2 L and 5 L.</summary>
    [Theory]
    [InlineData("vessel-thermometer", "warm", "--ice, --reference")]
    [InlineData("load-cell", "0 2,5 5", "--litres, --litres-sd")]
    [InlineData("load-cell", "0, 2,5, 5", "--litres, --litres-sd")]
    [InlineData("load-cell", "0, 2.5, 5", null)]
    public void Nonsense_from_a_keeper_is_refused_like_any_other(string probe, string answer, string? refused) =>
        Assert.Equal(refused, new CalibrateAsk { Probe = probe, By = "keeper" }.Completed(Lagoon, _ => answer).Asked(Lagoon, atTerminal: true)?.Key);

    /// <summary>It had been told as not given, with no word of the unit or the comma.</summary>
    [Theory]
    [InlineData("vessel-thermometer", "21,5", "--ice, --reference: 21,5. Allowed: ice, or -5 to 60 °C.")]
    [InlineData("vessel-thermometer", "21.5 °C", "--ice, --reference: 21.5 °C.")]
    [InlineData("vessel-thermometer", " Ice ", null)]
    [InlineData("vessel-thermometer", "", "--ice, --reference: neither.")]
    [InlineData("drops", "10 mL", "--millilitres: 10 mL. Allowed: above 0, to 1000 mL. Write the number alone")]
    [InlineData("drops", "", "--millilitres: not given.")]
    public void An_answer_that_is_no_number_is_told_as_it_was_typed(string probe, string answer, string? refused)
    {
        var told = new CalibrateAsk { Probe = probe, By = "keeper" }.Completed(Lagoon, _ => answer).Asked(Lagoon, atTerminal: true);
        Assert.StartsWith(refused ?? "", told?.ToString() ?? "", StringComparison.Ordinal);
        Assert.Equal(refused is null, told is null);
    }

    /// <summary>The lagoon's vessel spills at 7.6 L and must never hold more than 6.9; who is told to pour in 50 has them on the floor.</summary>
    [Theory]
    [InlineData("load-cell", new[] { 0, 50.0 }, "0 to 6.9 L, brim less freeboard")]
    [InlineData("level", new[] { 0, 7.2 }, "0 to 6.9 L, brim less freeboard")]
    [InlineData("level", new[] { 0, 3, 6.9 }, null)]
    public void More_than_the_vessel_holds_is_never_asked_for(string probe, double[] litres, string? allowed) =>
        Assert.Equal(allowed, new CalibrateAsk { Probe = probe, Litres = litres, By = "keeper" }.Asked(Lagoon, atTerminal: true)?.Allowed);

    [Fact]
    public void A_standpipe_ends_what_may_be_poured_in()
    {
        var piped = Lagoon with { Vessel = Lagoon.Vessel with { Mode = Core.Estimation.VesselMode.Standpipe, StandpipeLitres = 5 } };
        Assert.Equal("0 to 5 L, where the standpipe begins to run", new CalibrateAsk { Probe = "level", Litres = [0, 6], By = "keeper" }.Asked(piped, atTerminal: true)?.Allowed);
    }

    /// <summary>Each of these was refused at the end, after minutes of dipping and litres of pouring, or ended the program.</summary>
    [Theory]
    [InlineData("vessel-conductivity", "--simulated-cup")]
    [InlineData("vessel-thermometer", "--reference")]
    [InlineData("tank-thermometer", "--reference-sd")]
    [InlineData("tank-conductivity", "--meter-before")]
    [InlineData("load-cell", "--litres")]
    [InlineData("both", "--by")]
    [InlineData("drops", "--note")]
    public void What_would_be_refused_at_the_end_is_refused_at_the_beginning(string probe, string key)
    {
        var ask = new CalibrateAsk { Probe = probe, By = "keeper", Standards = ["147"], Litres = [0, 5], Millilitres = 10, Ice = probe != "tank-thermometer" && key != "--reference", ReferenceCelsius = probe == "tank-thermometer" ? 25 : null };
        var wrong = key switch
        {
            "--simulated-cup" => ask with { SimulatedCupCelsius = 500 },
            "--reference" => ask with { ReferenceCelsius = double.NaN },
            "--reference-sd" => ask with { ReferenceSd = 0.3 },
            "--meter-before" => ask with { Check = true, MeterBefore = -5, MeterAfter = 10 },
            "--litres" => ask with { LitresSd = 0.3 },
            "--by" => ask with { By = " " },
            _ => ask with { Note = new string('x', 1001) },
        };
        Assert.Equal(key, wrong.Asked(Lagoon, atTerminal: true)?.Key);
        if (key != "--reference")
        {
            Assert.Null(ask.Asked(Lagoon, atTerminal: true));
        }
    }

    /// <summary>5 L of sea water taken for fresh are 2.3 % more kilograms than are reckoned with (EOS-80: 1.0233 kg/L at 25 °C), and each litre is then read so much too small, towards the brim.</summary>
    [Theory]
    [InlineData("load-cell", "Pour in fresh water (salt water is heavier)")]
    [InlineData("level", "Pour in water like the tank's")]
    public async Task A_keeper_is_told_which_water_to_pour_in_and_to_take_out_what_is_less_than_before(string probe, string pour)
    {
        var told = new List<string>();
        using var probes = new ByHand(OwnProbes.On(Lagoon, new SimulatedRig(Lagoon, 4, [])));
        var guide = new CalibrateGuide(Lagoon, probes, [], _ => { }, doing =>
        {
            told.Add(doing);
            return Task.CompletedTask;
        });
        _ = await guide.RunAsync(new CalibrateAsk { Probe = probe, Litres = [2, 5, 3], By = "keeper" });
        Assert.Equal([$"{pour} until there are 2 L", $"{pour} until there are 5 L", "Take out until there are 3 L"], told.Take(3).Select(text => text.Split(" in the vessel,")[0]));
        Assert.Equal("That was the last.", told[^1]);

        // Nothing more is measured where no sensor answers, and "the last" was still to come.
        told.Clear();
        using var gone = new ByHand(OwnProbes.On(Lagoon, new SimulatedRig(Lagoon, 4, [])), answers: false);
        _ = await new CalibrateGuide(Lagoon, gone, [], _ => { }, doing =>
        {
            told.Add(doing);
            return Task.CompletedTask;
        }).RunAsync(new CalibrateAsk { Probe = probe, Litres = [2, 5, 3], By = "keeper" });
        Assert.Equal(2, told.Count);
        Assert.StartsWith("It goes no further", told[1], StringComparison.Ordinal);
    }

    /// <summary>The rig's probes with no hand but the keeper's.</summary>
    private sealed class ByHand(OwnProbes probes, bool answers = true) : ILiveProbes
    {
        private int _looks;

        public Task<LiveLook?> LookAsync() => answers || _looks++ == 0 ? probes.LookAsync() : Task.FromResult<LiveLook?>(null); // the first is asked whether a run is on

        public Task<string?> DoAsync(string what) => Task.FromResult<string?>(null);

        public void Dispose() => probes.Dispose();
    }
}
