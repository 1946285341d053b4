using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Alarms;

namespace Evenwater.CoreTests.Standing;

public class TankAlarmTests
{
    private const double Delay = 1800;

    private static AlarmWorld World(Tank tank) => new(Phase.Idle, tank);

    [Fact]
    public void Without_limits_nothing_is_beyond_them()
    {
        var world = World(new());
        world.Tank(9999, 44);
        world.Go(Delay + 5);
        Assert.Equal((AlarmStanding.Normal, AlarmStanding.Normal), (world[AlarmId.TankConductivity], world[AlarmId.TankTemperature]));
    }

    [Theory]
    [InlineData(149, 24, AlarmId.TankConductivity)]
    [InlineData(251, 24, AlarmId.TankConductivity)]
    [InlineData(200, 20.9, AlarmId.TankTemperature)]
    [InlineData(200, 26.1, AlarmId.TankTemperature)]
    public void Beyond_a_limit_for_half_an_hour_calls_once_and_a_moment_calls_nobody(double microsiemens, double celsius, AlarmId called)
    {
        var world = World(new() { MinMicrosiemensPerCm = 150, MaxMicrosiemensPerCm = 250, MinCelsius = 21, MaxCelsius = 26 });
        world.Tank(microsiemens, celsius);
        world.Go(Delay - 5);
        world.Tank(200, 24);
        world.Go(5);
        world.Tank(microsiemens, celsius);
        world.Go(Delay - 5);
        Assert.Empty(world.Calls);
        world.Go(10);
        Assert.Equal([called], world.Calls);
    }

    [Fact] // the deadband: 1 % below 250 is 247.5
    public void It_is_over_when_the_tank_has_come_back_by_the_deadband_for_as_long()
    {
        var world = World(new() { MaxMicrosiemensPerCm = 250 });
        world.Tank(260, 24);
        world.Go(Delay + 5);
        world.Ask(Verb.Acknowledge, AlarmId.TankConductivity);
        world.Tank(248, 24);
        world.Go(Delay + 5);
        Assert.Equal(AlarmStanding.Acknowledged, world[AlarmId.TankConductivity]);
        world.Tank(247, 24);
        world.Go(Delay - 5);
        Assert.Equal(AlarmStanding.Acknowledged, world[AlarmId.TankConductivity]);
        world.Go(10);
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.TankConductivity]);
    }

    [Fact]
    public void A_probe_that_is_not_read_any_more_clears_nothing()
    {
        var world = World(new() { MaxCelsius = 26 });
        world.Tank(200, 27);
        world.Go(Delay + 5);
        world.Ask(Verb.Acknowledge, AlarmId.TankTemperature);
        world.Probe(good: false, Channel.TankTemperature);
        world.Go(2 * Delay);
        Assert.Equal(AlarmStanding.Acknowledged, world[AlarmId.TankTemperature]);
    }
}
