using Evenwater.Core.Safety;
using Evenwater.Core.Screening;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Standing;

public class LightChannelTests
{
    private static readonly MonotonicTime Now = MonotonicTime.FromSeconds(100);

    private static Reading Screened(double lux)
    {
        var (state, readings) = (default(ScreenState), Readings.None());
        readings[Channel.TankLight] = Reading.Of(lux, Now);
        return Screen.Apply(ref state, readings, Now)[Channel.TankLight];
    }

    [Fact]
    public void A_dark_night_is_a_reading_however_long_it_lasts_and_more_than_the_sun_is_none()
    {
        Assert.True(Screened(0).IsGood);
        Assert.True(Screened(130_000).IsGood);
        Assert.Equal(Reason.OutOfRange, Screened(200_001).Reason);
        Assert.Equal(Reason.OutOfRange, Screened(-1).Reason);
    }

    [Fact]
    public void A_light_sensor_that_fails_holds_up_no_run()
    {
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(400, Now);
        Assert.True(TripCause.IsFresh(readings));
        readings[Channel.TankLight] = Reading.Missing(Reason.NoAnswer, Now);
        Assert.True(TripCause.IsFresh(readings));
        readings[Channel.TankConductivity] = Reading.Missing(Reason.NoAnswer, Now);
        Assert.False(TripCause.IsFresh(readings));
    }

    [Theory]
    [InlineData(36, 1, "sensors.light.address: 36. Allowed: 35 or 92")]
    [InlineData(35, 0.05, "sensors.light.factor: 0.05. Allowed: 0.1 to 20")]
    [InlineData(92, 20.5, "sensors.light.factor: 20.5. Allowed: 0.1 to 20")]
    public void A_light_sensor_that_can_not_be_is_refused_by_path(int address, double factor, string told)
    {
        var station = River.With(sensors: sensors => sensors with { Light = new() { Address = address, Factor = factor } });
        Assert.StartsWith(told, Assert.Single(StationRules.Check(station)).ToString(), StringComparison.Ordinal);
        Assert.Empty(StationRules.Check(River.With(sensors: sensors => sensors with { Light = new() { Address = 92 } })));
    }
}
