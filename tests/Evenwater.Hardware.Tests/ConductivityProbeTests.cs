using System.Device.I2c;
using System.Diagnostics.CodeAnalysis;
using CsCheck;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>From the ADC's registers, byte by byte, through the binding, to counts.</summary>
[SuppressMessage("Reliability", "CA2213", Justification = "The ADC owns the chip.")]
public sealed class ConductivityProbeTests : IDisposable
{
    private static readonly MonotonicTime _now = MonotonicTime.FromSeconds(5);
    private readonly double[] _volts = new double[4];
    private readonly FakeI2cBus _bus = new(1);
    private readonly FakeAds1115 _chip;
    private readonly Adc _adc;

    public ConductivityProbeTests()
    {
        _chip = _bus.Attach(0x48, input => _volts[input]);
        _adc = new Adc(_bus.CreateDevice(0x48));
    }

    public void Dispose()
    {
        _adc.Dispose();
        _bus.Dispose();
    }

    [Theory] // ADS1115 data sheet, table "Full-Scale Range and Corresponding LSB Size"
    [InlineData(6.144, 187.5)]
    [InlineData(4.096, 125)]
    [InlineData(2.048, 62.5)]
    [InlineData(1.024, 31.25)]
    [InlineData(0.512, 15.625)]
    [InlineData(0.256, 7.8125)]
    public void A_count_is_as_many_microvolts_as_the_data_sheet_says(double fullScale, double microvolts)
    {
        var probe = Probe(2, fullScale);
        foreach (var counts in new[] { 0, 1, -1, 1000, -1000, 32766, -32767 })
        {
            _volts[2] = counts * microvolts * 1e-6;
            Assert.Equal(RawSample.Of(counts, _now), probe.Read(_now));
        }
    }

    [Theory] // configuration register: start, input (MUX 100 to 111), range (PGA 000 to 101), single shot, 128 samples/s (100), comparator off
    [InlineData(0, 2.048, 0b1_100_010_1_100_0_0_0_11)]
    [InlineData(3, 6.144, 0b1_111_000_1_100_0_0_0_11)]
    [InlineData(1, 0.256, 0b1_101_101_1_100_0_0_0_11)]
    public void The_configuration_register_is_written_as_the_data_sheet_draws_it(int input, double fullScale, int expected)
    {
        Probe(input, fullScale).Read(_now);
        Assert.Equal(expected, _chip.Configuration);
    }

    [Fact]
    public void Saturation_at_either_end_is_out_of_range()
    {
        _volts[0] = 3.3;
        Assert.Equal(RawSample.Missing(Reason.OutOfRange, _now), Probe(0, 2.048).Read(_now));
        _volts[0] = -3.3;
        Assert.Equal(RawSample.Missing(Reason.OutOfRange, _now), Probe(0, 2.048).Read(_now));
    }

    [Fact]
    public void Two_probes_on_one_chip_never_see_each_others_conversion() =>
        Gen.Select(Gen.Int[0, 1].Array[1, 20], Gen.Int[0, 3], Gen.Int[-32000, 32000], Gen.Int[-32000, 32000]).Sample((order, busyReads, first, second) =>
        {
            _chip.BusyReadsPerConversion = busyReads; // a real chip is busy for a while; a reader that does not wait gets the other's counts
            ConductivityProbe[] probes = [Probe(0, 2.048), Probe(1, 1.024)];
            _volts[0] = first * 62.5e-6;
            _volts[1] = second * 31.25e-6;
            return order.All(which => probes[which].Read(_now).Code == (which == 0 ? first : second));
        }, iter: 300, threads: 1);

    [Fact]
    public void A_silent_bus_is_no_answer_and_the_next_reading_after_it_is_good()
    {
        var probe = Probe(0, 2.048);
        _volts[0] = 1;
        for (var second = 0; second < 6; second++)
        {
            var now = MonotonicTime.FromSeconds(second);
            _bus.Silent = second is 0 or 1 or 4; // from before the chip was ever spoken to
            Assert.Equal(_bus.Silent ? RawSample.Missing(Reason.NoAnswer, now) : RawSample.Of(16000, now), probe.Read(now));
        }
    }

    [Fact]
    public void A_silent_chip_is_asked_twice_when_it_falls_silent_and_then_once_an_instant_however_many_probes_hang_on_it()
    {
        ConductivityProbe[] probes = [Probe(0, 2.048), Probe(1, 2.048)];
        probes[0].Read(_now);
        _bus.SilentTransfers = 100;
        Array.ForEach(probes, probe => probe.Read(_now));
        Assert.Equal(98, _bus.SilentTransfers);
        Array.ForEach(probes, probe => probe.Read(_now.Plus(1)));
        Assert.Equal(97, _bus.SilentTransfers);
    }

    [Fact]
    public void One_lost_transfer_is_made_good_by_one_retry_and_no_more()
    {
        var probe = Probe(0, 2.048);
        _volts[0] = 1;
        probe.Read(_now);
        _bus.SilentTransfers = 1;
        Assert.Equal(RawSample.Of(16000, _now), probe.Read(_now));
        _bus.SilentTransfers = 2;
        Assert.Equal(Reason.NoAnswer, probe.Read(_now).Reason);
        Assert.Equal(0, _bus.SilentTransfers);
    }

    /// <summary>Two stations share the converter of one tank's probe: each has its own view of it and its own thread.</summary>
    [Fact]
    public void Two_stations_on_one_chip_never_get_each_other_s_counts()
    {
        (_volts[0], _volts[1], _chip.BusyReadsPerConversion) = (0.5, 1.5, 3);
        using var theirs = new Adc(_bus.CreateDevice(0x48));
        var other = new ConductivityProbe(theirs, Input(1, 2.048));
        var threads = new List<Thread>();
        using var ours = new Adc(new Interrupted(_chip, () =>
        {
            // In the midst of our conversion the other station asks for its own; were it let in, it would be done by now.
            threads.Add(new Thread(() => other.Read(_now)));
            threads[^1].Start();
            threads[^1].Join(TimeSpan.FromMilliseconds(200));
        }));
        Assert.Equal(RawSample.Of(8000, _now), new ConductivityProbe(ours, Input(0, 2.048)).Read(_now));
        threads.ForEach(thread => thread.Join());
        Assert.Equal(RawSample.Of(24000, _now), other.Read(_now));
    }

    [Fact]
    public void An_address_without_a_chip_is_no_answer()
    {
        using var adc = new Adc(_bus.CreateDevice(0x49));
        Assert.Equal(Reason.NoAnswer, new ConductivityProbe(adc, Input(0, 2.048)).Read(_now).Reason);
    }

    [Fact]
    public void A_full_scale_the_chip_does_not_have_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Probe(0, 3.3));

    private ConductivityProbe Probe(int input, double fullScale) => new(_adc, Input(input, fullScale));

    private static ConductivityInput Input(int input, double fullScale) => new() { AdcInput = input, FullScaleVolts = fullScale, CellConstantPerCm = 1 };

    /// <summary>The chip, with something that happens right after each of its conversions was begun.</summary>
    private sealed class Interrupted(FakeAds1115 chip, Action begun) : I2cDevice
    {
        public override I2cConnectionSettings ConnectionSettings => chip.ConnectionSettings;

        public override void Write(ReadOnlySpan<byte> buffer)
        {
            chip.Write(buffer);
            if (buffer.Length == 3 && buffer[0] == 1 && (buffer[1] & 0x80) != 0)
            {
                begun();
            }
        }

        public override void Read(Span<byte> buffer) => chip.Read(buffer);

        public override void WriteRead(ReadOnlySpan<byte> writeBuffer, Span<byte> readBuffer) => chip.WriteRead(writeBuffer, readBuffer);
    }
}
