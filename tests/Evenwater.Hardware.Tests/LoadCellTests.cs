using System.Device.Gpio;
using CsCheck;
using Evenwater.Core;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>Bit by bit over two lines.</summary>
public sealed class LoadCellTests : IDisposable
{
    private const int ClockLine = 24;
    private const int DataLine = 25;
    private static readonly MonotonicTime _now = MonotonicTime.FromSeconds(5);
    private readonly FakeHx711 _chip = new();
    private readonly GpioController _controller;
    private readonly LoadCell _cell;
    private int _clocks;
    private int _failsAt;
    private double _seconds;
    private double _secondsPerLook = 1e-6;

    public LoadCellTests()
    {
        _controller = new GpioController(new FakeGpioDriver(_ => _chip.DataIsHigh, Write));
        _cell = new LoadCell(_controller, ClockLine, DataLine, () => MonotonicTime.FromSeconds(_seconds += _secondsPerLook));
    }

    public void Dispose()
    {
        _cell.Dispose();
        _controller.Dispose();
    }

    [Theory] // two's complement of 24 bits
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(-1)]
    [InlineData(0x2AAAAA)]
    [InlineData(-0x2AAAAB)]
    [InlineData(8_388_606)]
    [InlineData(-8_388_607)]
    public void Counts_come_out_as_they_went_in(int counts)
    {
        _chip.Convert(counts);
        Assert.Equal(RawSample.Of(counts, _now), _cell.Read(_now));
    }

    [Fact]
    public void Every_count_of_the_scale_comes_out_as_it_went_in() =>
        Gen.Int[-8_388_607, 8_388_606].Sample(
            counts =>
            {
                _chip.Convert(counts);
                return _cell.Read(_now).Code == counts;
            },
            iter: 2000, threads: 1);

    [Fact] // data sheet: 25 pulses are channel A at gain 128
    public void Exactly_25_clocks_are_given_and_the_clock_is_left_low()
    {
        _chip.Convert(4711);
        _clocks = 0;
        _cell.Read(_now);
        Assert.Equal((25, PinValue.Low), (_clocks, _controller.Read(ClockLine)));
    }

    [Theory]
    [InlineData(8_388_607)]
    [InlineData(-8_388_608)]
    public void Either_end_of_the_scale_is_out_of_range(int counts)
    {
        _chip.Convert(counts);
        Assert.Equal(RawSample.Missing(Reason.OutOfRange, _now), _cell.Read(_now));
    }

    [Fact]
    public void A_conversion_is_clocked_out_once_and_stands_with_its_own_time_for_three_seconds()
    {
        _chip.Convert(100);
        Assert.Equal(100, _cell.Read(_now).Code);
        _clocks = 0;
        Assert.Equal(RawSample.Of(100, _now), _cell.Read(_now.Plus(2.9)));
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, _now.Plus(3.1)), _cell.Read(_now.Plus(3.1)));
        Assert.Equal(0, _clocks);
        _chip.Convert(101);
        Assert.Equal(RawSample.Of(101, _now.Plus(4)), _cell.Read(_now.Plus(4)));
    }

    [Fact]
    public void A_chip_that_is_not_there_is_no_answer()
    {
        _chip.Silent = true;
        _chip.Convert(100);
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, _now), _cell.Read(_now));
    }

    [Fact] // data sheet: a clock that is high for 60 µs switches the chip off
    public void A_reading_with_a_clock_held_up_too_long_is_thrown_away()
    {
        _secondsPerLook = 60e-6;
        _chip.Convert(100);
        Assert.Equal(Reason.NoAnswer, _cell.Read(_now).Reason);
    }

    [Fact] // a data line shorted to ground reads as 24 zeros, but does not rise with the 25th clock
    public void A_data_line_that_stays_low_is_no_answer_not_zero()
    {
        using var controller = new GpioController(new FakeGpioDriver(_ => false, (_, _) => { }));
        using var shorted = new LoadCell(controller, ClockLine, DataLine, () => _now);
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, _now), shorted.Read(_now));
    }

    [Fact]
    public void A_line_that_cannot_be_read_is_no_answer()
    {
        using var controller = new GpioController(new FakeGpioDriver(_ => throw new IOException("gone"), (_, _) => { }));
        using var lost = new LoadCell(controller, ClockLine, DataLine, () => _now);
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, _now), lost.Read(_now));
    }

    [Theory] // data sheet, "Reset and Power-Down Sequence": high for more than 60 µs, then low, and it begins anew
    [InlineData(20)] // at a falling edge: the clock stays high
    [InlineData(21)] // at a rising edge
    public void A_line_that_fails_in_the_midst_of_a_conversion_costs_that_one_alone(int write)
    {
        _chip.Convert(0x2AAAAA);
        _failsAt = write;
        Assert.Equal(Reason.NoAnswer, _cell.Read(_now).Reason);
        _chip.Convert(4711); // not taken: it is being clocked out
        Assert.Equal(Reason.NoAnswer, _cell.Read(_now.Plus(1)).Reason);
        Assert.Equal(PinValue.High, _controller.Read(ClockLine));
        _chip.SwitchOff();
        Assert.Equal(Reason.NoAnswer, _cell.Read(_now.Plus(2)).Reason);
        _chip.Convert(4711);
        Assert.Equal(RawSample.Of(4711, _now.Plus(3)), _cell.Read(_now.Plus(3)));
    }

    private void Write(int line, bool high)
    {
        if (_failsAt > 0 && --_failsAt == 0)
        {
            throw new IOException("for once");
        }

        if (line == ClockLine)
        {
            _clocks += high ? 1 : 0;
            _chip.Clock(high);
        }
    }
}
