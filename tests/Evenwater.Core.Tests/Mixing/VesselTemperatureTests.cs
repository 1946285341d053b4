using CsCheck;
using Evenwater.Core.Mixing;

namespace Evenwater.CoreTests.Mixing;

public class VesselTemperatureTests
{
    [Fact]
    public void Without_exchange_temperature_mixes_like_a_fill()
    {
        var vessel = new SteadyFlows(0.9).Temperature(1.6, 19.5, 23, new HeatExchange(0, 10));
        Assert.Equal(Fill.ConcentrationAt(1.6, 19.5, 23, 1.6 + (0.9 * 5)), vessel.ValueAfter(5), 9);
        Assert.Equal(23, vessel.SettlesAt, 9);
    }

    [Fact]
    public void A_vessel_left_alone_comes_to_room_temperature_with_its_own_time_constant()
    {
        // 15 L at 3.7 W/K: tau = 15 x 1.158 / 3.7 = 4.7 h, as calculated for an open bucket.
        var vessel = new SteadyFlows(0).Temperature(15, 30, 0, new HeatExchange(3.7, 20));
        Assert.Equal(4.7, 15 / new HeatExchange(3.7, 20).LitresPerHour, 0.05);
        Assert.Equal(20 + (10 / Math.E), vessel.ValueAfter(15 / (3.7 / HeatExchange.WattHoursPerLitreKelvin)), 9);
        Assert.Equal(20, vessel.SettlesAt, 9);
    }

    [Fact]
    public void While_dripping_it_settles_between_tank_and_room_by_their_shares()
    {
        // By hand: drip 0.9 L/h carries 1.042 W/K, the room 1.2 W/K: (1.042 x 23 + 1.2 x 22.5) / 2.242 = 22.73 °C.
        Assert.Equal(22.73, new SteadyFlows(0.9).Temperature(1.6, 19.5, 23, new HeatExchange(1.2, 22.5)).SettlesAt, 0.005);
    }

    [Fact]
    public void An_open_bucket_settles_below_the_room_it_evaporates_into()
    {
        // 12.8 g/h take 8.7 W at 25 °C; through 3.7 W/K that is 2.3 K (2.2 to 2.5 K by an independent calculation).
        var vessel = new SteadyFlows(0, 0, 0.0128).Temperature(10, 25, 25, new HeatExchange(3.7, 25));
        Assert.Equal(2.35, 25 - vessel.SettlesAt, 0.1);
    }

    [Fact]
    public void Temperature_never_leaves_the_range_of_bag_tank_and_room_when_nothing_evaporates()
        => Gen.Select(Gen.Double[0.5, 20], Gen.Double[0.01, 5], Gen.Double[0, 5], Gen.Double[0, 40], Gen.Double[0, 40], Gen.Double[0, 40], Gen.Double[0, 48])
            .Sample((litres, inflow, ua, bag, tank, room, hours) =>
            {
                var celsius = new SteadyFlows(inflow).Temperature(litres, bag, tank, new HeatExchange(ua, room)).ValueAfter(hours);
                return celsius >= Math.Min(bag, Math.Min(tank, room)) - 1e-9 && celsius <= Math.Max(bag, Math.Max(tank, room)) + 1e-9;
            });

    [Fact]
    public void Water_lost_to_air_concentrates_what_stays()
    {
        // By hand: 10 L losing 15 g/h with no drip gain 0.15 % an hour.
        var vessel = new SteadyFlows(0, 0, 0.015).Concentration(10, 200, 0);
        Assert.Equal(200 * 10 / 9.985, vessel.ValueAfter(1), 9);
        // With a drip it settles above the tank by in / (in - air).
        Assert.Equal(185 * 0.9 / 0.885, new SteadyFlows(0.9, 0, 0.015).Concentration(1.6, 410, 185).SettlesAt, 9);
    }
}
