using Evenwater.Core;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Stations;

public class FittedChannelsTests
{
    [Fact] // what is not wired is neither asked for nor missed
    public void A_station_has_the_channels_that_it_is_wired_for_and_no_other()
    {
        Channel[] always = [Channel.VesselConductivity, Channel.VesselTemperature];
        Assert.Equal([.. always, Channel.TankConductivity, Channel.TankTemperature, Channel.FloatLow, Channel.FloatHigh, Channel.Leak], FittedChannels.Of(River.Station));
        var bare = River.Station.Sensors with { TankConductivity = null, TankThermometer = null, FloatLowLine = null, FloatHighLine = null, LeakLine = null };
        Has(always, bare);
        Has([.. always, Channel.TankConductivity], bare with { TankConductivity = River.Station.Sensors.TankConductivity });
        Has([.. always, Channel.TankTemperature], bare with { TankThermometer = "28-000000000002" });
        Has([.. always, Channel.FloatLow], bare with { FloatLowLine = 17 });
        Has([.. always, Channel.FloatHigh], bare with { FloatHighLine = 27 });
        Has([.. always, Channel.Leak], bare with { LeakLine = 22 });
        Has([.. always, Channel.Drops], bare with { DropCounterLine = 16 });
        Has([.. always, Channel.Mass], bare with { LoadCell = new LoadCellInput { ClockLine = 24, DataLine = 25, ZeroCounts = 84_000, CountsPerKilogram = 21_500 } });
        Has([.. always, Channel.Level], bare with { Level = new LevelInput { AdcInput = 2, ZeroVolts = 0.4, MillimetresPerVolt = 312.5 } });
        Has([.. always, Channel.TankLight], bare with { Light = new LightInput() });

        static void Has(Channel[] channels, Sensors sensors) => Assert.Equal(channels, FittedChannels.Of(River.Station with { Sensors = sensors }));
    }
}
