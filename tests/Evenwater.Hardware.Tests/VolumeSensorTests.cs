using Evenwater.Core;
using Evenwater.Core.Calibration;

namespace Evenwater.HardwareTests;

/// <summary>Drop counter, scale and level sensor on the rig, through their drivers and the calibration, against the rig's own truth.</summary>
public class VolumeSensorTests
{
    [Fact]
    public void The_drops_of_an_hour_are_what_ran_in_over_the_size_of_a_drop()
    {
        var station = TestStation.Weighed with { Drip = TestStation.Weighed.Drip with { DropRelativeSd = 0 } };
        using var night = new RigNight(station, 4, []);
        var drops = 0L;
        for (var i = 0; i < 3600; i++)
        {
            night.Second(open: true);
            drops += night.Devices.TakeDrops(night.Now).Code;
        }

        Assert.Equal(night.Rig.InflowLitres * 1000 / 0.05, drops, 1.5);
        Assert.True(drops > 10_000);
    }

    [Fact]
    public void The_size_of_a_drop_differs_from_night_to_night_by_its_own_spread()
    {
        var sizes = Enumerable.Range(1, 200).Select(seed => new Hardware.Rig.SimulatedRig(TestStation.Weighed, (ulong)seed, []).Facts.DropMillilitres / 0.05).ToList();
        var mean = sizes.Average();
        Assert.Equal(1, mean, 0.03);
        Assert.InRange(Math.Sqrt(sizes.Average(s => (s - mean) * (s - mean))), 0.10, 0.14);
    }

    [Fact]
    public void Scale_and_level_read_the_water_that_is_there()
    {
        using var night = new RigNight(TestStation.Weighed, 4, []);
        foreach (var hour in (double[])[0.1, 2, 6])
        {
            night.RunTo(hour * 3600);
            var readings = Calibrate.Apply(night.Latest, TestStation.Weighed.Sensors);
            Assert.Equal(night.Rig.VolumeLitres * 0.9976, readings[Channel.Mass].Value, 0.012); // fresh water, kg/L
            Assert.Equal(night.Rig.VolumeLitres / 0.045, readings[Channel.Level].Value, 3.0); // 1 L on 1 m2 is 1 mm
        }
    }

    [Theory]
    [InlineData("drops-blocked@10m")]
    [InlineData("scale-silent@10m")]
    [InlineData("level-broken@10m")]
    public void A_sensor_that_fails_is_a_reason_from_its_time_on_and_the_others_go_on(string fault)
    {
        using var night = new RigNight(TestStation.Weighed, 4, [fault]);
        night.RunTo(599);
        Assert.Equal((Reason.None, Reason.None, Reason.None), Reasons());
        night.RunTo(605);
        var (drops, mass, level) = Reasons();
        Assert.Equal(fault.StartsWith("drops", StringComparison.Ordinal) ? Reason.NoAnswer : Reason.None, drops);
        Assert.Equal(fault.StartsWith("scale", StringComparison.Ordinal) ? Reason.NoAnswer : Reason.None, mass);
        Assert.Equal(fault.StartsWith("level", StringComparison.Ordinal) ? Reason.OutOfRange : Reason.None, level);

        (Reason Drops, Reason Mass, Reason Level) Reasons()
        {
            var readings = Calibrate.Apply(night.Latest, TestStation.Weighed.Sensors);
            return (night.Devices.TakeDrops(night.Now).Reason, readings[Channel.Mass].Reason, readings[Channel.Level].Reason);
        }
    }

    [Fact]
    public void A_silent_bus_silences_the_level_and_neither_drops_nor_scale()
    {
        using var night = new RigNight(TestStation.Weighed, 4, ["no-answer@10m"]);
        night.RunTo(605);
        Assert.Equal(Reason.NoAnswer, night.Latest[Channel.Level].Reason);
        Assert.Equal(Reason.None, night.Latest[Channel.Mass].Reason);
        Assert.Equal(Reason.None, night.Devices.TakeDrops(night.Now).Reason);
    }

    [Fact]
    public void A_station_without_them_has_none_of_the_three()
    {
        using var night = new RigNight(TestStation.Pail, 4, []);
        night.RunTo(5);
        Assert.Equal(Reason.NotFitted, night.Latest[Channel.Mass].Reason);
        Assert.Equal(Reason.NotFitted, night.Latest[Channel.Level].Reason);
        Assert.Equal(Reason.NotFitted, night.Devices.TakeDrops(night.Now).Reason);
    }

    [Fact]
    public void Fitting_them_changes_nothing_else_of_a_night()
    {
        using var bare = new RigNight(TestStation.Pail, 4, []);
        using var weighed = new RigNight(TestStation.Weighed, 4, []);
        bare.RunTo(1800);
        weighed.RunTo(1800);
        Assert.Equal(bare.Rig.VolumeLitres, weighed.Rig.VolumeLitres);
        Assert.Equal(bare.Latest[Channel.VesselConductivity], weighed.Latest[Channel.VesselConductivity]);
    }
}
