using Evenwater.Core.Calibration;
using Evenwater.Core.Screening;

namespace Evenwater.CoreTests.Protection;

/// <summary>Range, age, flat line and rate: the gross tests of QARTOD-style quality control; limits are common practice, no source.</summary>
public class ScreenTests
{
    private ScreenState _state;
    private double _t;

    [Fact]
    public void A_good_reading_passes() => Assert.Equal(Reason.None, See(400).Reason);

    [Theory]
    [InlineData(0)]
    [InlineData(0.4)]
    [InlineData(100_001)]
    public void A_value_that_no_water_has_is_out_of_range(double value) => Assert.Equal(Reason.OutOfRange, See(value).Reason);

    [Fact]
    public void An_old_sample_is_stale()
    {
        Assert.Equal(Reason.None, See(400, age: 14).Reason);
        Assert.Equal(Reason.Stale, See(401, age: 16).Reason);
    }

    [Fact]
    public void The_very_same_value_for_two_minutes_is_stuck_and_a_moved_one_is_good_again()
    {
        for (var i = 0; i < 120; i++)
        {
            Assert.Equal(Reason.None, See(400).Reason);
        }

        Assert.Equal(Reason.Stuck, See(400).Reason);
        Assert.Equal(Reason.None, See(400.1).Reason);
    }

    /// <summary>
    /// A converter's noise at 2.048 V is no more than its step (ADS1115 data sheet, its table of noise; from memory), so in a still tank it says the same for minutes. It was called stuck, no run could begin and
    /// no trip be reset, while the estimator gives such a probe twenty minutes.
    /// </summary>
    [Fact]
    public void A_probe_whose_noise_is_seen_to_be_below_its_step_is_given_twenty_minutes()
    {
        SeeCounts([.. Enumerable.Repeat(5950, 50), 5951, .. Enumerable.Repeat(5950, 50), 5949, 5950, 5951, .. Enumerable.Range(5952, 40)]); // at rest, and then in other water
        Assert.Equal(Reason.None, SeeCounts(Enumerable.Repeat(6000, 1200)));
        Assert.Equal(Reason.Stuck, SeeCounts([6000]));
        Assert.Equal(Reason.None, SeeCounts([6001]));
    }

    /// <summary>However still it stood before: a loose plug comes and goes.</summary>
    [Theory]
    [InlineData(24)]
    [InlineData(1)]
    public void One_that_flickers_by_more_than_its_step_is_stuck_after_two_minutes(int moves)
    {
        SeeCounts([.. Enumerable.Repeat(5950, 130), 5950 + moves]);
        SeeCounts(Enumerable.Range(0, 10).Select(i => 5950 + (i % 2 * 24)));
        Assert.Equal(Reason.None, SeeCounts(Enumerable.Repeat(5980, 120)));
        Assert.Equal(Reason.Stuck, SeeCounts([5980]));
    }

    [Fact]
    public void A_probe_whose_count_stands_still_is_stuck_although_the_thermometer_moves_its_value()
    {
        var sensors = TestStation.Make().Sensors;
        var reason = Reason.None;
        for (var i = 0; i <= 120; i++)
        {
            var at = MonotonicTime.FromSeconds(i);
            var raw = RawSamples.None();
            raw[Channel.VesselConductivity] = RawSample.Of(12_000, at);
            raw[Channel.VesselTemperature] = RawSample.Of(320 + (i % 2), at);
            reason = Screen.Apply(ref _state, Calibrate.Apply(raw, sensors), at)[Channel.VesselConductivity].Reason;
            Assert.Equal(i < 120 ? Reason.None : Reason.Stuck, reason);
        }
    }

    /// <summary>A probe that is read every ten seconds says the same thirteen times in two minutes: too few to call it stuck, and the twentieth is enough.</summary>
    [Fact]
    public void The_same_sample_seen_again_is_not_counted_twice()
    {
        for (var t = 0; t <= 200; t++)
        {
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of(400, MonotonicTime.FromSeconds(t / 10 * 10));
            var seen = Screen.Apply(ref _state, readings, MonotonicTime.FromSeconds(t));
            Assert.Equal(t < 190 ? Reason.None : Reason.Stuck, seen[Channel.VesselConductivity].Reason);
        }
    }

    [Theory]
    [InlineData(-1, Reason.OutOfRange)]
    [InlineData(0, Reason.None)]
    [InlineData(12, Reason.None)]
    public void Drops_are_never_less_than_none(double drops, Reason reason)
    {
        var readings = Readings.None();
        readings[Channel.Drops] = Reading.Of(drops, MonotonicTime.FromSeconds(1));
        Assert.Equal(reason, Screen.Apply(ref _state, readings, MonotonicTime.FromSeconds(1))[Channel.Drops].Reason);
    }

    [Fact]
    public void A_jump_is_doubted_at_first_and_believed_when_it_stays()
    {
        See(400);
        See(400.5);
        Assert.Equal(Reason.TooFast, See(600).Reason);
        Assert.Equal(Reason.None, See(401).Reason);
        for (var i = 0; i < 30; i++)
        {
            Assert.Equal(Reason.TooFast, See(600 + i).Reason);
        }

        Assert.Equal(Reason.None, See(630).Reason);
        Assert.Equal(Reason.TooFast, See(900).Reason); // and the next one is doubted as the first was
    }

    /// <summary>Of two first readings that disagree nobody knows which is wrong: the third decides. A spike that came first had every reading of half a minute taken for the jump.</summary>
    [Fact]
    public void When_the_very_first_reading_was_the_spike_the_next_two_that_agree_are_believed()
    {
        See(63);
        Assert.Equal(Reason.TooFast, See(106).Reason);
        Assert.Equal(Reason.None, See(105.8).Reason);
        Assert.Equal(Reason.TooFast, See(63).Reason);
        Assert.Equal(Reason.None, See(106.2).Reason);
    }

    [Fact]
    public void A_reading_that_is_looked_at_again_does_not_agree_with_itself()
    {
        See(63);
        var again = Readings.None();
        again[Channel.VesselConductivity] = Reading.Of(63, MonotonicTime.FromSeconds(_t));
        Screen.Apply(ref _state, again, MonotonicTime.FromSeconds(_t + 0.5));
        Assert.Equal(Reason.TooFast, See(106).Reason);
        Assert.Equal(Reason.None, See(106.2).Reason);
    }

    /// <summary>A loose wire: a spike, nothing for a while, another spike. Nothing has lasted for half a minute but the silence.</summary>
    [Theory]
    [InlineData(0.1)] // dry: out of range
    [InlineData(double.NaN)] // no answer
    public void A_second_spike_after_a_silence_is_doubted_as_the_first_was(double between)
    {
        See(400);
        See(400.5);
        Assert.Equal(Reason.TooFast, See(900).Reason);
        for (var i = 0; i < 40; i++)
        {
            See(between);
        }

        Assert.Equal(Reason.TooFast, See(950).Reason);
        Assert.Equal(Reason.None, See(401).Reason);
    }

    /// <summary>A reading that is missed now and then does not keep a jump that lasts from being believed.</summary>
    [Fact]
    public void A_jump_that_lasts_is_believed_although_readings_are_missed()
    {
        See(400);
        See(400.5);
        for (var i = 0; i < 30; i++)
        {
            Assert.NotEqual(Reason.None, See(i % 3 == 1 ? double.NaN : 600).Reason);
        }

        Assert.Equal(Reason.None, See(600).Reason);
    }

    /// <summary>
    /// 85 °C is what a DS18B20 tells that has not measured, 125 the end of its scale (its data sheet); as a temperature 85 would carry 410 µS/cm at 20 °C to half of that. Histories and exports are
    /// made of what is calibrated, without a screen, and had told of it as read.
    /// </summary>
    [Theory]
    [InlineData(20, Reason.None)]
    [InlineData(85, Reason.OutOfRange)]
    [InlineData(125, Reason.OutOfRange)]
    [InlineData(-10, Reason.OutOfRange)]
    public void What_no_water_can_be_is_no_temperature_and_a_conductivity_without_one_has_no_value(int celsius, Reason reason)
    {
        var raw = RawSamples.None();
        raw[Channel.VesselTemperature] = RawSample.Of(celsius * 16, MonotonicTime.FromSeconds(1));
        raw[Channel.VesselConductivity] = RawSample.Of(10_000, MonotonicTime.FromSeconds(1));
        var readings = Calibrate.Apply(raw, TestStation.Make().Sensors);
        Assert.Equal((reason, reason), (readings[Channel.VesselTemperature].Reason, readings[Channel.VesselConductivity].Reason));
    }

    /// <summary>By hand, 5 counts of 62.5 µV (what hardware/README.md allows an unplugged front end) over 0.5 V and 402 ohm are 1.55 µS, with 10 1/cm 15.5 µS/cm: much for a screen that ends at 0.5.</summary>
    [Theory]
    [InlineData(402, 10, 0, 5, Reason.OutOfRange)]
    [InlineData(4020, 1, 3, 5, Reason.OutOfRange)] // 0.16 µS/cm, and the 3 that two standards told
    [InlineData(4020, 1, 3, -5, Reason.OutOfRange)]
    [InlineData(4020, 1, 0, 64, Reason.None)] // 2 µS/cm
    [InlineData(402, 10, 0, 32, Reason.None)] // 100 µS/cm
    public void An_unplugged_cell_has_no_value_whatever_its_front_end_makes_of_it(double feedbackOhms, double perCm, double offset, int counts, Reason reason)
    {
        var raw = RawSamples.None();
        raw[Channel.VesselTemperature] = RawSample.Of(25 * 16, MonotonicTime.FromSeconds(1));
        raw[Channel.VesselConductivity] = RawSample.Of(counts, MonotonicTime.FromSeconds(1));
        var sensors = TestStation.Make().Sensors;
        sensors = sensors with { VesselConductivity = sensors.VesselConductivity with { ExcitationVolts = 0.5, FeedbackOhms = feedbackOhms, CellConstantPerCm = perCm, OffsetMicrosiemensPerCm = offset } };
        Assert.Equal(reason, Screen.Apply(ref _state, Calibrate.Apply(raw, sensors), MonotonicTime.FromSeconds(1))[Channel.VesselConductivity].Reason);
    }

    [Fact]
    public void A_missing_value_keeps_its_reason()
    {
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Missing(Reason.NoAnswer, default);
        Assert.Equal(Reason.NoAnswer, Screen.Apply(ref _state, readings, default)[Channel.VesselConductivity].Reason);
        Assert.Equal(Reason.NotFitted, Screen.Apply(ref _state, readings, default)[Channel.TankConductivity].Reason);
    }

    /// <summary>What is said of the last of them.</summary>
    private Reason SeeCounts(IEnumerable<int> counts)
    {
        var reason = Reason.None;
        foreach (var count in counts)
        {
            _t += 1;
            var (readings, at) = (Readings.None(), MonotonicTime.FromSeconds(_t));
            readings[Channel.VesselConductivity] = Reading.Of(count / 32.0, at) with { Code = count };
            reason = Screen.Apply(ref _state, readings, at)[Channel.VesselConductivity].Reason;
        }

        return reason;
    }

    private Reading See(double value, double age = 0)
    {
        _t += 1;
        var readings = Readings.None();
        var at = MonotonicTime.FromSeconds(_t - age);
        readings[Channel.VesselConductivity] = double.IsNaN(value) ? Reading.Missing(Reason.NoAnswer, at) : Reading.Of(value, at);
        return Screen.Apply(ref _state, readings, MonotonicTime.FromSeconds(_t))[Channel.VesselConductivity];
    }
}
