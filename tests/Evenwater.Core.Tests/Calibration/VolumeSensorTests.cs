using Evenwater.Core.Screening;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Calibration;

/// <summary>Counts of a scale and of a level sensor to kilograms and millimetres, worked by hand.</summary>
public class VolumeSensorTests
{
    private static readonly MonotonicTime _at = MonotonicTime.FromSeconds(7);

    private static readonly Sensors _sensors = River.Station.Sensors with
    {
        LoadCell = new LoadCellInput { ClockLine = 24, DataLine = 25, ZeroCounts = 84_000, CountsPerKilogram = 20_000 },
        Level = new LevelInput { AdcInput = 2, ZeroVolts = 0.4, MillimetresPerVolt = 312.5, BrokenBelowVolts = 0.36 },
    };

    [Theory]
    [InlineData(84_000, 0)]
    [InlineData(116_000, 1.6)] // 32 000 more at 20 000 a kilogram
    [InlineData(83_000, -0.05)]
    public void A_scale_reads_the_water_above_the_empty_vessel(int counts, double kilograms) =>
        Assert.Equal(kilograms, Read(Channel.Mass, counts).Value, 1e-12);

    [Fact]
    public void A_bridge_wired_the_other_way_round_weighs_the_same()
    {
        var sensors = _sensors with { LoadCell = _sensors.LoadCell! with { CountsPerKilogram = -20_000 } };
        Assert.Equal(1.6, Read(Channel.Mass, 52_000, sensors).Value, 1e-12);
    }

    [Theory] // 62.5 µV a count at ±2.048 V (ADS1115 data sheet): 6400 counts are 0.4 V, 16 counts 1 mV
    [InlineData(6400, 0)]
    [InlineData(8000, 31.25)] // 0.1 V more
    [InlineData(6080, -6.25)]
    public void A_level_reads_millimetres_above_the_bottom(int counts, double millimetres) =>
        Assert.Equal(millimetres, Read(Channel.Level, counts).Value, 1e-9);

    [Fact] // 0.36 V are 5760 counts
    public void A_broken_loop_is_out_of_range_not_low_water()
    {
        Assert.Equal(Reason.OutOfRange, Read(Channel.Level, 5759).Reason);
        Assert.Equal(Reason.None, Read(Channel.Level, 5760).Reason);
    }

    [Fact]
    public void Counts_without_a_calibration_have_no_value()
    {
        var bare = River.Station.Sensors;
        Assert.Equal(Reason.Uncalibrated, Read(Channel.Mass, 100_000, bare).Reason);
        Assert.Equal(Reason.Uncalibrated, Read(Channel.Level, 8000, bare).Reason);
    }

    [Theory]
    [InlineData(Channel.Mass, -1.1, Reason.OutOfRange)]
    [InlineData(Channel.Mass, -0.05, Reason.None)]
    [InlineData(Channel.Mass, 2001, Reason.OutOfRange)]
    [InlineData(Channel.Level, -101, Reason.OutOfRange)]
    [InlineData(Channel.Level, -3, Reason.None)]
    [InlineData(Channel.Level, 3001, Reason.OutOfRange)]
    [InlineData(Channel.Drops, -1, Reason.OutOfRange)]
    [InlineData(Channel.Drops, 5, Reason.None)]
    public void What_no_vessel_holds_is_out_of_range_and_a_zero_a_little_off_is_not(Channel channel, double value, Reason reason)
    {
        var readings = Readings.None();
        readings[channel] = Reading.Of(value, _at);
        var state = default(ScreenState);
        Assert.Equal(reason, Screen.Apply(ref state, readings, _at)[channel].Reason);
    }

    [Fact]
    public void A_scale_whose_count_stands_still_is_stuck_and_a_weight_from_a_trace_may_repeat()
    {
        var (device, trace) = (default(ScreenState), default(ScreenState));
        for (var i = 0; i <= 120; i++)
        {
            var at = MonotonicTime.FromSeconds(i);
            var readings = Readings.None();
            readings[Channel.Mass] = Reading.Of(1.6, at) with { Code = 116_000 };
            Assert.Equal(i < 120 ? Reason.None : Reason.Stuck, Screen.Apply(ref device, readings, at)[Channel.Mass].Reason);
            readings[Channel.Mass] = Reading.Of(1.6, at);
            Assert.Equal(Reason.None, Screen.Apply(ref trace, readings, at)[Channel.Mass].Reason);
        }
    }

    private static Reading Read(Channel channel, int counts, Sensors? sensors = null)
    {
        var raw = RawSamples.None();
        raw[channel] = RawSample.Of(counts, _at);
        return Core.Calibration.Calibrate.Apply(raw, sensors ?? _sensors)[channel];
    }
}
