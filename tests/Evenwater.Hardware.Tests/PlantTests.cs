using Evenwater.Core.Stations;

namespace Evenwater.HardwareTests;

/// <summary>The plant against closed forms, with noise, lag, drift and slow mixing off.</summary>
public class PlantTests
{
    private const double RateLitresPerSecond = 15.0 / 60_000;

    [Theory]
    [InlineData(600)]
    [InlineData(3600)]
    [InlineData(7200)]
    [InlineData(29520)]
    public void A_fill_follows_its_closed_form(double seconds)
    {
        using var night = new RigNight(TestStation.Exact, 1, [], ideal: true);
        night.RunTo(seconds);
        var volume = 1.6 + (RateLitresPerSecond * seconds);
        Assert.Equal(volume, night.Rig.VolumeLitres, 0.01 * volume);
        Assert.Equal(185 + (225 * 1.6 / volume), night.Rig.VesselEc25, 0.002 * 185);
    }

    [Fact]
    public void At_a_standpipe_the_difference_decays_exponentially()
    {
        using var night = new RigNight(TestStation.WithStandpipe(3), 1, [], ideal: true);
        var full = (3 - 1.6) / RateLitresPerSecond;
        night.RunTo(full + 12_000); // one exchange time, 3 L / 15 mL/min
        var expected = 185 + (225 * 1.6 / 3 * Math.Exp(-1));
        Assert.Equal(3, night.Rig.VolumeLitres, 1e-9);
        Assert.Equal(expected, night.Rig.VesselEc25, 0.005 * expected);
        Assert.Equal(0, night.Rig.SpilledLitres);
        Assert.Equal(12_000 * RateLitresPerSecond, night.Rig.Plant.DrainedLitres, 0.01);
    }

    [Fact]
    public void What_runs_over_the_brim_is_counted()
    {
        using var night = new RigNight(TestStation.Exact, 1, [], ideal: true);
        night.RunTo(((11.6 - 1.6) / RateLitresPerSecond) + 2000);
        Assert.Equal(11.6, night.Rig.VolumeLitres, 1e-9);
        Assert.Equal(2000 * RateLitresPerSecond, night.Rig.SpilledLitres, 0.005);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Water_and_salt_are_conserved_on_a_real_night_with_everything_on(ulong seed)
    {
        var station = TestStation.Pail with { Evaporation = new Evaporation { MillilitresPerHour = 40 } };
        using var night = new RigNight(station, seed, ["siphon-surge@2h"]);
        var plant = night.Rig.Plant;
        var (water, salt) = (plant.Vessel.Litres, plant.Vessel.Salt);
        night.RunTo(15_500);
        Assert.True(plant.EvaporatedLitres > 0.15 && plant.InflowLitres > 6);
        Assert.Equal(0, night.Rig.SpilledLitres); // else the salt that ran over would have to be counted
        Assert.Equal(water + plant.InflowLitres - plant.EvaporatedLitres, plant.Vessel.Litres, 1e-9);
        Assert.Equal(salt + (plant.InflowLitres * 185), plant.Vessel.Salt, 1e-6);
    }

    [Fact]
    public void A_draw_off_takes_water_when_it_is_done_and_leaves_the_rest_as_it_was()
    {
        using var night = new RigNight(TestStation.Exact, 1, [], ideal: true);
        night.RunTo(3600);
        var (litres, ec25, inflow) = (night.Rig.VolumeLitres, night.Rig.VesselEc25, night.Rig.InflowLitres);
        night.Rig.DrawOff(1, 0);
        night.RunTo(3602);
        Assert.Equal(litres - 1 + night.Rig.InflowLitres - inflow, night.Rig.VolumeLitres, 1e-9);
        Assert.Equal(ec25, night.Rig.VesselEc25, 0.1);
    }

    [Fact]
    public void The_temperature_settles_where_inflow_room_and_evaporation_balance()
    {
        // V dT/dt = q (Tt - T) + UA/(rho c) (Ta - T) - E L/(rho c): at rest T is the weighted mean, less what evaporation takes.
        var station = TestStation.WithStandpipe(2) with { Room = new Room { TemperatureCelsius = 18 }, Evaporation = new Evaporation { MillilitresPerHour = 3 } };
        using var night = new RigNight(station, 1, [], ideal: true);
        night.RunTo(80_000);
        var q = RateLitresPerSecond;
        var exchange = 1.2 / (4181.3 * 0.99705);
        var evaporation = 3 / 3.6e6 * 2.45e6 / 4181.3;
        var expected = ((q * 23) + (exchange * 18) - evaporation) / (q + exchange);
        Assert.Equal(expected, night.Rig.VesselCelsius, 0.05);
        Assert.InRange(expected, 18.5, 20.5); // far from both waters, so that the balance is what is tested
    }

    [Fact]
    public void A_filling_vessel_without_a_room_warms_as_it_mixes()
    {
        var station = TestStation.Exact with { Vessel = TestStation.Exact.Vessel with { HeatExchangeWattsPerKelvin = 0 } };
        using var night = new RigNight(station, 1, [], ideal: true);
        night.RunTo(7200);
        Assert.Equal(23 - (3.5 * 1.6 / 3.4), night.Rig.VesselCelsius, 0.01);
    }

    [Fact]
    public void The_flow_falls_as_the_head_does()
    {
        using var night = new RigNight(TestStation.Exact, 5, []);
        night.RunTo(600);
        var early = night.Rig.InflowMillilitresPerMinute;
        night.RunTo(25_000);
        Assert.InRange(night.Rig.InflowMillilitresPerMinute / early, 0.6, 0.97);
    }

    [Fact]
    public void The_siphon_breaks_when_the_intake_comes_out_of_the_water()
    {
        var station = TestStation.Exact with { Source = TestStation.Exact.Source with { IntakeDepthMillimetres = 5 } };
        using var night = new RigNight(station, 1, [], ideal: true);
        night.RunTo(20_000);
        Assert.Equal(0.48 * 5, night.Rig.InflowLitres, 0.001);
        Assert.Equal(0, night.Rig.InflowMillilitresPerMinute);
    }

    [Fact]
    public void A_top_off_that_was_left_on_feeds_the_siphon_beyond_that()
    {
        var source = TestStation.Exact.Source with { IntakeDepthMillimetres = 5, AutomaticTopOff = true, TopOffReservoirLitres = 1 };
        using var night = new RigNight(TestStation.Exact with { Source = source }, 1, [], ideal: true);
        night.RunTo(20_000);
        Assert.Equal((0.48 * 5) + 1, night.Rig.InflowLitres, 0.001);
    }

    [Fact]
    public void Slow_mixing_keeps_the_probe_behind_and_loses_no_salt()
    {
        using var night = new RigNight(TestStation.Exact, 1, []);
        night.RunTo(3600);
        Assert.InRange(night.Rig.Plant.Vessel.MainEc25 - night.Rig.VesselEc25, -12, -0.2); // the dead zone still holds bag water
    }
}
