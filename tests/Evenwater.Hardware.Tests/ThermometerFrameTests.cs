using CsCheck;
using Evenwater.Core;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

public class ThermometerFrameTests
{
    private static readonly MonotonicTime _at = MonotonicTime.FromSeconds(7);

    [Theory] // DS18B20 data sheet, table "Temperature/Data Relationship"; 85.0 here after a real conversion (byte 6 counted down)
    [InlineData(0x07D0, 125.0)]
    [InlineData(0x0550, 85.0)]
    [InlineData(0x0191, 25.0625)]
    [InlineData(0x00A2, 10.125)]
    [InlineData(0x0008, 0.5)]
    [InlineData(0x0000, 0.0)]
    [InlineData(0xFFF8, -0.5)]
    [InlineData(0xFF5E, -10.125)]
    [InlineData(0xFE6F, -25.0625)]
    [InlineData(0xFC90, -55.0)]
    public void The_data_sheets_table_reads_as_printed(int code, double celsius)
    {
        var sample = ThermometerFrame.Parse(TextOf((short)code), _at);
        Assert.Equal(RawSample.Of((int)(celsius * 16), _at), sample);
    }

    [Theory]
    [InlineData("50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n", Reason.NoAnswer)] // power-on
    [InlineData("00 00 00 00 00 00 00 00 00 : crc=00 YES\n00 00 00 00 00 00 00 00 00 t=0\n", Reason.NoAnswer)] // all zero passes its check
    [InlineData("ff ff ff ff ff ff ff ff ff : crc=c9 NO\nff ff ff ff ff ff ff ff ff t=-62\n", Reason.NoAnswer)] // unplugged
    [InlineData("91 01 4b 46 7f ff 0f 10 25 : crc=25 NO\n91 01 4b 46 7f ff 0f 10 25 t=25062\n", Reason.NoAnswer)] // the kernel says no
    [InlineData("91 01 4b 46 7f ff 0f 10 26 : crc=26 YES\n", Reason.NoAnswer)] // the kernel says yes to a wrong check byte
    [InlineData("91 01 4b 46 7f ff 0f 10", Reason.NoAnswer)] // cut short
    [InlineData("", Reason.NoAnswer)] // conversion in progress: an empty file
    [InlineData("91 01 4b 46 7f ff 0f zz 25 : crc=25 YES\n", Reason.NoAnswer)]
    [InlineData("32 00 4b 46 ff ff 0c 10 6b : crc=6b YES\n32 00 4b 46 ff ff 0c 10 6b t=25000\n", Reason.NoAnswer)] // a DS18S20 (family 10) at 25.0 °C, its layout from memory: half degrees, which the station's rules refuse
    public void What_is_no_measurement_is_a_reason(string text, Reason reason) =>
        Assert.Equal(RawSample.Missing(reason, _at), ThermometerFrame.Parse(text, _at));

    [Fact]
    public void A_reading_of_127_94_degrees_is_out_of_range() =>
        Assert.Equal(RawSample.Missing(Reason.OutOfRange, _at), ThermometerFrame.Parse(TextOf(0x07FF), _at));

    [Fact]
    public void With_nine_bits_the_undefined_low_bits_are_cleared()
    {
        Span<byte> frame = [0x97, 0x01, 0x4B, 0x46, 0x1F, 0xFF, 0x0F, 0x10, 0];
        frame[8] = Crc8.Of(frame[..8]);
        Assert.Equal(RawSample.Of(0x0190, _at), ThermometerFrame.Parse(ThermometerModel.Write(frame, 25_000), _at));
    }

    [Fact]
    public void Every_temperature_of_the_range_reads_back_and_nothing_outside_does() =>
        Gen.Short.Sample(code =>
        {
            var sample = ThermometerFrame.Parse(TextOf(code), _at);
            return code is >= -880 and <= 2000 ? sample == RawSample.Of(code, _at) : sample.Reason == Reason.OutOfRange;
        });

    [Fact]
    public void No_text_throws() =>
        Gen.String.Sample(text => ThermometerFrame.Parse(text, _at).Reason != Reason.None);

    private static string TextOf(short code)
    {
        Span<byte> frame = stackalloc byte[ThermometerFrame.Length];
        ThermometerModel.Fill(frame, code);
        return ThermometerModel.Write(frame, code * 1000 / 16);
    }
}
