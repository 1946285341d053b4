using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>The light sensor's bytes against its data sheet, and its way through the rig.</summary>
public sealed class LightSensorTests : IDisposable
{
    private const int Address = 0x23; // ADDR terminal low: 0100011 (BH1750FVI technical note, rev. B, "Slave Address")

    private static readonly Station Lit = TestStation.Pail with { Sensors = TestStation.Pail.Sensors with { Light = new LightInput() } };

    private readonly FakeI2cBus _bus = new(1);
    private readonly FakeBh1750 _chip;
    private readonly LightSensor _sensor;
    private double _lux = 28_066.7;

    public LightSensorTests()
    {
        _chip = _bus.AttachLight(Address, () => _lux);
        _sensor = new LightSensor(_bus.CreateDevice(Address));
    }

    public void Dispose()
    {
        _sensor.Dispose();
        _chip.Dispose();
        _bus.Dispose();
    }

    private RawSample At(double seconds) => _sensor.Read(MonotonicTime.FromSeconds(seconds));

    // The technical note's own example, "Read Format": high byte 1000_0011, low byte 1001_0000 is 28067 lx.
    [Fact]
    public void The_data_sheets_two_bytes_are_its_28067_lux()
    {
        At(0);
        var sample = At(1);
        Assert.Equal(0b1000_0011_1001_0000, sample.Code);
        var raw = RawSamples.None();
        raw[Channel.TankLight] = sample;
        Assert.Equal(28_067, Calibrate.Apply(raw, Lit.Sensors)[Channel.TankLight].Value, 0.5);
        Assert.Equal(2 * 28_067, Calibrate.Apply(raw, Lit.Sensors with { Light = new() { Factor = 2 } })[Channel.TankLight].Value, 1.0);
    }

    // Instruction set: 0000_0001 on, 0000_0111 reset, 01000_MT7..5 and 011_MT4..0 with 69 = 0100_0101 the default, 0001_0000 continuously H-resolution.
    [Fact]
    public void The_instructions_are_the_data_sheets()
    {
        At(0);
        At(1);
        Assert.Equal([0b0000_0001, 0b0000_0111, 0b01000_010, 0b011_00101, 0b0001_0000, 0b0001_0000], _chip.Instructions.Select(i => (int)i));
    }

    [Fact]
    public void Every_count_comes_through_as_it_is()
    {
        At(0);
        for (var counts = 0; counts < ushort.MaxValue; counts += 97)
        {
            _lux = counts / 1.2;
            At(counts + 1);
            Assert.Equal(counts, At(counts + 2).Code);
        }
    }

    [Fact]
    public void What_is_not_measured_yet_is_no_darkness()
    {
        Assert.Equal(Reason.NoAnswer, At(0).Reason);
        Assert.Equal(Reason.NoAnswer, At(0.1).Reason);
        Assert.Equal(Reason.None, At(1).Reason);
        _lux = 0;
        At(2);
        Assert.Equal((0, Reason.None), (At(3).Code, At(3.5).Reason));
    }

    [Fact]
    public void The_end_of_the_scale_is_out_of_range()
    {
        _lux = 70_000;
        At(0);
        Assert.Equal(Reason.OutOfRange, At(1).Reason);
    }

    [Fact]
    public void A_chip_that_fell_silent_and_lost_its_power_is_set_up_anew_and_never_read_as_dark()
    {
        At(0);
        Assert.Equal(Reason.None, At(1).Reason);
        _bus.Silent = true;
        Assert.Equal(Reason.NoAnswer, At(2).Reason);
        _bus.Silent = false;
        _chip.LosePower();
        Assert.Equal(Reason.NoAnswer, At(3).Reason);
        Assert.True(At(4).Code > 33_000);
        Assert.True(_chip.IsOn);
    }

    [Fact]
    public void No_chip_at_the_address_is_no_answer()
    {
        using var absent = new LightSensor(_bus.CreateDevice(0x5C));
        Assert.Equal(Reason.NoAnswer, absent.Read(MonotonicTime.FromSeconds(1)).Reason);
    }

    [Fact] // the lamp: on for ten hours, of which two are left as the night begins
    public void The_rigs_lamp_is_read_through_the_bus()
    {
        using var night = new RigNight(Lit, 4, []);
        double Lux() => Calibrate.Apply(night.Latest, Lit.Sensors)[Channel.TankLight].Value;
        night.RunTo(10, open: false);
        Assert.Equal(9000, Lux(), 200.0);
        Assert.Equal(night.Rig.TankLux, Lux(), 200.0);
        night.RunTo((2 * 3600) + 10, open: false);
        Assert.InRange(Lux(), 0, 10);
    }

    [Fact]
    public void Fitting_it_changes_nothing_else_of_a_night()
    {
        using var bare = new RigNight(TestStation.Pail, 4, []);
        using var lit = new RigNight(Lit, 4, []);
        bare.RunTo(600);
        lit.RunTo(600);
        Assert.Equal(bare.Rig.VolumeLitres, lit.Rig.VolumeLitres);
        Assert.Equal(bare.Latest[Channel.VesselConductivity], lit.Latest[Channel.VesselConductivity]);
        Assert.Equal(Reason.NotFitted, bare.Latest[Channel.TankLight].Reason);
    }
}
