using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Calibration;

/// <summary>From every channel's integer to its reading, or to the reason why there is none.</summary>
public class CalibrateTests
{
    private static readonly MonotonicTime Taken = MonotonicTime.FromSeconds(7);

    private static readonly Sensors Fitted = River.Station.Sensors with
    {
        LoadCell = new() { ClockLine = 24, DataLine = 25, ZeroCounts = 84_000, CountsPerKilogram = 20_000 },
        Level = new() { AdcInput = 2, ZeroVolts = 0.4, MillimetresPerVolt = 312.5, BrokenBelowVolts = 0.36 },
        Light = new() { Factor = 1.5 },
    };

    [Theory] // ADS1115: 16 000 of 32 768 at 2.048 V are 1 V, over 2000 ohm and 1 V 500 µS; 400 / 16 = 25 °C, where 1 is the factor to 25 °C; BH1750: 1.2 counts a lux, and 1.5 of the cover
    [InlineData(Channel.VesselConductivity, 16_000, 500)]
    [InlineData(Channel.TankConductivity, 16_000, 500)]
    [InlineData(Channel.VesselTemperature, 400, 25)]
    [InlineData(Channel.TankTemperature, 400, 25)]
    [InlineData(Channel.FloatLow, 1, 1)]
    [InlineData(Channel.FloatHigh, 1, 1)]
    [InlineData(Channel.Leak, 1, 1)]
    [InlineData(Channel.Drops, 37, 37)]
    [InlineData(Channel.Mass, 116_000, 1.6)]
    [InlineData(Channel.Level, 8000, 31.25)]
    [InlineData(Channel.TankLight, 1200, 1500)]
    public void Every_channels_integer_becomes_its_own_reading_and_what_was_not_read_keeps_its_reason(Channel channel, int counts, double value)
    {
        var raw = At25Degrees();
        raw[channel] = RawSample.Of(counts, Taken);
        var read = Calibrate.Apply(raw, Fitted)[channel];
        Assert.Equal(value, read.Value, 1e-9);
        Assert.Equal(Taken, read.TakenAt);

        foreach (var reason in new[] { Reason.NoAnswer, Reason.NotFitted })
        {
            raw[channel] = RawSample.Missing(reason, Taken);
            var missing = Calibrate.Apply(raw, Fitted)[channel];
            Assert.Equal((reason, Taken), (missing.Reason, missing.TakenAt));
        }
    }

    [Theory] // ISO 7888's factor for natural water at 20 °C is 1.116: 558; each probe goes by the thermometer beside it
    [InlineData(320, 400, 558, 500)]
    [InlineData(400, 320, 500, 558)]
    public void A_probe_is_carried_to_25_degrees_by_the_thermometer_in_its_own_water(int vesselSixteenths, int tankSixteenths, double vessel, double tank)
    {
        var raw = At25Degrees();
        raw[Channel.VesselConductivity] = raw[Channel.TankConductivity] = RawSample.Of(16_000, Taken);
        raw[Channel.VesselTemperature] = RawSample.Of(vesselSixteenths, Taken);
        raw[Channel.TankTemperature] = RawSample.Of(tankSixteenths, Taken);
        var readings = Calibrate.Apply(raw, Fitted);
        Assert.Equal(vessel, readings[Channel.VesselConductivity].Value, 0.3);
        Assert.Equal(tank, readings[Channel.TankConductivity].Value, 0.3);
    }

    [Fact] // 3 % a kelvin, 10 K above 25 °C: 500 / 1.3; natural water's factor would be some 0.83
    public void A_straight_line_is_taken_where_the_station_says_so()
    {
        var raw = At25Degrees();
        raw[Channel.VesselConductivity] = RawSample.Of(16_000, Taken);
        raw[Channel.VesselTemperature] = RawSample.Of(560, Taken);
        var input = Fitted.VesselConductivity with { Compensation = Compensation.Linear, AlphaPerKelvin = 0.03 };
        Assert.Equal(500 / 1.3, Calibrate.Apply(raw, Fitted with { VesselConductivity = input })[Channel.VesselConductivity].Value, 1e-9);
    }

    [Fact] // an unplugged cell reads up to 5 counts (hardware/README.md, "Build", 10); at a front end for sea water, 10 1/cm over 200 ohm, 10 of them are 31 µS/cm
    public void A_dry_cell_is_no_weak_water()
    {
        var raw = At25Degrees();
        foreach (var (counts, reason) in new[] { (0, Reason.OutOfRange), (9, Reason.OutOfRange), (10, Reason.None) })
        {
            raw[Channel.VesselConductivity] = RawSample.Of(counts, Taken);
            Assert.Equal(reason, Calibrate.Apply(raw, Fitted)[Channel.VesselConductivity].Reason);
        }
    }

    [Fact]
    public void Without_its_temperature_a_conductivity_has_no_value_and_tells_why()
    {
        var raw = At25Degrees();
        raw[Channel.VesselConductivity] = RawSample.Of(16_000, Taken);
        foreach (var (thermometer, told) in new[] { (Reason.NotFitted, Reason.Uncalibrated), (Reason.NoAnswer, Reason.NoAnswer), (Reason.Stuck, Reason.Stuck) })
        {
            raw[Channel.VesselTemperature] = RawSample.Missing(thermometer, Taken);
            Assert.Equal(told, Calibrate.Apply(raw, Fitted)[Channel.VesselConductivity].Reason);
        }
    }

    [Fact] // full scale is 2.048 V over 2000 ohm and 1 V: 1024 µS, less the last count but one of 32 768; 1142.7 at 20 °C by ISO 7888's 1.116
    public void The_most_that_a_front_end_can_tell_is_its_full_scale_carried_to_25_degrees()
    {
        Assert.Equal(1024.0 * 32_766 / 32_768, Calibrate.MostAt25(Fitted.VesselConductivity, 25)!.Value, 1e-9);
        Assert.Equal(1142.7, Calibrate.MostAt25(Fitted.VesselConductivity, 20)!.Value, 0.6);

        // 10 1/cm over 200 ohm: 102 mS/cm, twice what sea water's table has; in a front end of a tenth of that it is a brackish water, which has a value.
        var sea = Fitted.VesselConductivity with { Compensation = Compensation.SeaWater, CellConstantPerCm = 10, FeedbackOhms = 200 };
        Assert.Null(Calibrate.MostAt25(sea, 25));
        Assert.Equal(10_239, Calibrate.MostAt25(sea with { FeedbackOhms = 2000 }, 25)!.Value, 0.5);
    }

    private static RawSamples At25Degrees()
    {
        var raw = RawSamples.None();
        raw[Channel.VesselTemperature] = raw[Channel.TankTemperature] = RawSample.Of(400, Taken);
        return raw;
    }
}
