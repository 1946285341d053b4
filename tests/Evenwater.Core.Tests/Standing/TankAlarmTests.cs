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

    [Theory] // 1 % above 150 is 151.5; 0.2 °C within 21 to 26 is 21.2 and 25.8
    [InlineData(AlarmId.TankConductivity, 140, 24, 151, 24, 152, 24)]
    [InlineData(AlarmId.TankTemperature, 200, 20, 200, 21.1, 200, 21.3)]
    [InlineData(AlarmId.TankTemperature, 200, 27, 200, 25.9, 200, 25.7)]
    public void A_tank_has_come_back_by_the_deadband_from_either_side(AlarmId alarm, double beyond, double beyondCelsius, double near, double nearCelsius, double back, double backCelsius)
    {
        var world = World(new() { MinMicrosiemensPerCm = 150, MaxMicrosiemensPerCm = 250, MinCelsius = 21, MaxCelsius = 26 });
        ComesBack(world, alarm, (beyond, beyondCelsius), (near, nearCelsius), (back, backCelsius));
    }

    [Theory] // by hand: within 24 to 24.3 °C a quarter of the 0.3 is 0.075, within 52,500 to 53,500 µS/cm one of the 1000 is 250
    [InlineData(AlarmId.TankTemperature, 53_000, 24.5, 53_000, 24.25, 53_000, 24.2)]
    [InlineData(AlarmId.TankTemperature, 53_000, 23.5, 53_000, 24.05, 53_000, 24.1)]
    [InlineData(AlarmId.TankConductivity, 54_000, 24.1, 53_300, 24.1, 53_200, 24.1)]
    [InlineData(AlarmId.TankConductivity, 52_000, 24.1, 52_700, 24.1, 52_800, 24.1)]
    public void Between_limits_that_are_near_each_other_a_tank_comes_back_too(AlarmId alarm, double beyond, double beyondCelsius, double near, double nearCelsius, double back, double backCelsius)
    {
        var world = World(new() { MinMicrosiemensPerCm = 52_500, MaxMicrosiemensPerCm = 53_500, MinCelsius = 24, MaxCelsius = 24.3 });
        ComesBack(world, alarm, (beyond, beyondCelsius), (near, nearCelsius), (back, backCelsius));
    }

    private static void ComesBack(AlarmWorld world, AlarmId alarm, (double MicrosiemensPerCm, double Celsius) beyond, (double MicrosiemensPerCm, double Celsius) near, (double MicrosiemensPerCm, double Celsius) back)
    {
        foreach (var (tank, active) in new[] { (beyond, true), (near, true), (back, false) })
        {
            world.Tank(tank.MicrosiemensPerCm, tank.Celsius);
            world.Go(Delay + 5);
            Assert.Equal(active, world.State.AlarmOf(alarm).Active);
        }
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

    /// <summary>A thermometer that dies in June must not be found out by what the heater did in October.</summary>
    [Theory]
    [InlineData(Channel.TankTemperature, Phase.Idle, true)]
    [InlineData(Channel.TankTemperature, Phase.Finished, true)]
    [InlineData(Channel.TankTemperature, Phase.Tripped, true)]
    [InlineData(Channel.TankTemperature, Phase.Holding, false)] // another alarm tells
    [InlineData(Channel.TankConductivity, Phase.Idle, false)] // no limit goes by it
    public void A_limit_that_nobody_watches_any_more_calls_once_after_half_an_hour(Channel dead, Phase phase, bool calls)
    {
        var world = World(new() { MaxCelsius = 26 });
        world.State.Phase = phase;
        world.State.Trip = phase == Phase.Tripped ? Trip.TimeBudget : Trip.None;
        world.Tank(200, 24);
        world.Go(Delay);
        world.Calls.Clear();
        world.Probe(good: false, dead);
        world.Go(Delay - 5);
        Assert.DoesNotContain(AlarmId.TankUnwatched, world.Calls);
        world.Go(10);
        Assert.Equal(calls, world.Calls.Contains(AlarmId.TankUnwatched));
        world.Go(2 * Delay);
        Assert.Equal(calls ? 1 : 0, world.Calls.Count(id => id == AlarmId.TankUnwatched));
        world.Tank(200, 24);
        world.Go(65);
        Assert.False(world.State.AlarmOf(AlarmId.TankUnwatched).Active);
    }

    [Fact]
    public void A_limit_of_a_probe_that_is_not_there_at_all_is_told_too()
    {
        var world = World(new() { MinMicrosiemensPerCm = 150 });
        world.Go(Delay + 5);
        Assert.Equal([AlarmId.TankUnwatched], world.Calls);
    }
}
