using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.Options;
using Evenwater.Tests.Options;

namespace Evenwater.Tests.Commands;

public class FrontEndReachTests
{
    private static readonly Station River = StationFile.Read(GoodFile.Path).Station!;

    [Fact]
    public void Every_shipped_station_reads_its_own_waters() =>
        Assert.All(Directory.GetFiles(Path.GetDirectoryName(GoodFile.Path)!, "*.json"), file => Assert.Empty(FrontEndReach.TooShort(StationFile.Read(file).Station!)));

    /// <summary>The front end of hardware/README.md ends at 1,019 µS in its table, at the water's own temperature: with its cell of 1 1/cm in water of 25 °C at 1,019 µS/cm.</summary>
    [Theory]
    [InlineData(1018, 0)]
    [InlineData(1020, 2)]
    public void The_front_end_to_build_ends_where_its_table_says(double tank, int told)
    {
        var built = new ConductivityInput { AdcInput = 0, ExcitationVolts = 0.5, FeedbackOhms = 4020, CellConstantPerCm = 1 };
        var station = River with
        {
            Sensors = River.Sensors with { VesselConductivity = built, TankConductivity = built with { AdcInput = 1 } },
            Waters = River.Waters with { TankMicrosiemensPerCm = tank, TankTemperatureCelsius = 25 },
        };
        Assert.Equal(told, FrontEndReach.TooShort(station).Count());
    }

    /// <summary>Who took what was advised had a front end that ended at the very number, and no reading as soon as water or cell were a per cent more.</summary>
    [Fact]
    public void What_is_advised_reads_further_than_what_it_is_advised_for()
    {
        var weak = River with { Waters = River.Waters with { TankMicrosiemensPerCm = 1500, TankTemperatureCelsius = 25 } };
        var ohms = Ohms(FrontEndReach.TooShort(weak).First().Text);
        Assert.Equal(1241, ohms); // 2000 ohm x 1024 / 1650
        var advised = weak with { Sensors = weak.Sensors with { VesselConductivity = weak.Sensors.VesselConductivity with { FeedbackOhms = ohms } } };
        Assert.DoesNotContain(FrontEndReach.TooShort(advised with { Waters = advised.Waters with { TankMicrosiemensPerCm = 1640 } }), f => f.Key.EndsWith("vesselConductivity", StringComparison.Ordinal));

        // 0.01 mol/kg of KCl at 35 °C, 1687.79 + 1.30 µS/cm (CRC Handbook, see PotassiumChloride), scaled to 1413 from 1409.33: 1693.5. 2000 ohm x 1024 / 1693.5 = 1209.
        var refusal = new Evenwater.Calibrating.CellGuide(new Evenwater.Calibrating.Cups(River, null!, _ => { }, _ => Task.CompletedTask), vessel: true, 0.25, 22).TooStrong(Core.Water.ConductivityStandard.Sold1413)!.Value;
        Assert.Equal(1209, Ohms(refusal.Advice));

        static double Ohms(string text) => double.Parse(text.Split("feedbackOhms of ")[1].Split(' ')[0], System.Globalization.CultureInfo.InvariantCulture);
    }

    [Fact]
    public void What_it_would_be_is_told_with_what_to_do()
    {
        var weak = River with { Sensors = River.Sensors with { VesselConductivity = River.Sensors.VesselConductivity with { CellConstantPerCm = 0.1 } } };
        var (key, text) = FrontEndReach.TooShort(weak).First();
        Assert.Equal("sensors.vesselConductivity", key);
        Assert.Contains(Core.Planning.Planner.Make(weak).Obstacles, o => o.Kind == Core.Planning.Obstacle.BeyondProbe && o.Text == $"The run would not begin: {key} {text}");
        Assert.Contains("and the bag's water has 410: out of range", text, StringComparison.Ordinal);

        // And it is: the driver's highest count is no reading, and what the water gives is higher.
        var most = Calibrate.MostAt25(weak.Sensors.VesselConductivity, 19.5)!.Value;
        var raw = RawSamples.None();
        (raw[Channel.VesselConductivity], raw[Channel.VesselTemperature]) = (RawSample.Of(short.MaxValue - 1, default), RawSample.Of((int)(19.5 * 16), default));
        Assert.Equal(most, Calibrate.Apply(raw, weak.Sensors)[Channel.VesselConductivity].Value, 1e-9);
    }
}
