using Evenwater.Calibrating;
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
        var scale = (await guide.RunAsync(new CalibrateAsk { Probe = "load-cell", Litres = [0, 2, 5], LitresSd = 0.01, WaterCelsius = 23 })).Found!;

        // The rig's scale reads 21500 counts more for each kilogram, and its zero is off by what the night has drawn; its water here is the vessel's, of 46 mS/cm, 2.3 % heavier than the fresh water that was told.
        var cell = Lagoon.Sensors.LoadCell!;
        Assert.Equal(cell.ZeroCounts + (cell.CountsPerKilogram * rig.Facts.ScaleZeroKilograms), scale.Values[0].After, 0.01 * cell.CountsPerKilogram);
        Assert.Equal(cell.CountsPerKilogram * (0.9975 + (0.5e-6 * rig.VesselEc25)) / 0.99754, scale.Values[1].After, 0.003 * cell.CountsPerKilogram); // fresh water at 23 °C: 0.99754 kg/L

        var level = (await guide.RunAsync(new CalibrateAsk { Probe = "level", Litres = [0, 2, 5], LitresSd = 0.01 })).Found!;
        Assert.Equal(0.4 + (rig.Facts.LevelZeroMillimetres / 312.5), level.Values[0].After, 0.002);
        Assert.Equal(312.5, level.Values[1].After, 3.0);
    }

    [Theory]
    [InlineData(null, "vessel-thermometer|ice", "vessel-thermometer True  0 ")]
    [InlineData("vessel-thermometer", "24.93", "vessel-thermometer False 24.93 0 ")]
    [InlineData("load-cell", "0 2 5", "load-cell False  3 ")]
    [InlineData("tank-conductivity", "1413, kcl-0.1", "tank-conductivity False  0 1413+kcl-0.1")]
    public void A_keeper_is_asked_for_what_was_not_said(string? probe, string answers, string expected)
    {
        var left = new Queue<string>(answers.Split('|'));
        var ask = new CalibrateAsk { Probe = probe, By = "keeper" }.Completed(_ => left.Dequeue());
        Assert.Empty(left);
        Assert.Equal(expected, FormattableString.Invariant($"{ask.Probe} {ask.Ice} {ask.ReferenceCelsius} {ask.Litres.Count} {string.Join('+', ask.Standards)}"));
        Assert.Null(ask.Asked(Lagoon, atTerminal: true));
    }

    /// <summary>"2,5" is two and a half to half the world, and never 2 L and 5 L.</summary>
    [Theory]
    [InlineData("vessel-thermometer", "warm", "--ice, --reference")]
    [InlineData("load-cell", "0 2,5 5", "--litres, --litres-sd")]
    [InlineData("load-cell", "0, 2,5, 5", "--litres, --litres-sd")]
    [InlineData("load-cell", "0, 2.5, 5", null)]
    public void Nonsense_from_a_keeper_is_refused_like_any_other(string probe, string answer, string? refused) =>
        Assert.Equal(refused, new CalibrateAsk { Probe = probe, By = "keeper" }.Completed(_ => answer).Asked(Lagoon, atTerminal: true)?.Key);
}
