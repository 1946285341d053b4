using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Calibration;
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

    [Fact]
    public void What_it_would_be_is_told_with_what_to_do()
    {
        var weak = River with { Sensors = River.Sensors with { VesselConductivity = River.Sensors.VesselConductivity with { CellConstantPerCm = 0.1 } } };
        var (what, text) = FrontEndReach.TooShort(weak).First();
        Assert.Equal("sim-river, sensors.vesselConductivity", what);
        Assert.Contains("and the bag's water has 410: out of range", text, StringComparison.Ordinal);

        // And it is: the driver's highest count is no reading, and what the water gives is higher.
        var most = Calibrate.MostAt25(weak.Sensors.VesselConductivity, 19.5)!.Value;
        var raw = RawSamples.None();
        (raw[Channel.VesselConductivity], raw[Channel.VesselTemperature]) = (RawSample.Of(short.MaxValue - 1, default), RawSample.Of((int)(19.5 * 16), default));
        Assert.Equal(most, Calibrate.Apply(raw, weak.Sensors)[Channel.VesselConductivity].Value, 1e-9);
    }
}
