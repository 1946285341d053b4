using CsCheck;
using Evenwater.Hardware;

namespace Evenwater.HardwareTests;

public class Crc8Tests
{
    [Fact]
    public void The_catalogue_check_value_is_A1() => Assert.Equal(0xA1, Crc8.Of("123456789"u8));

    [Theory]
    [InlineData("02 1C B8 01 00 00 00", 0xA2)] // a serial number, iButton application note 27
    [InlineData("50 05 4B 46 7F FF 0C 10", 0x1C)] // DS18B20 memory at power-on
    [InlineData("00 00 00 00 00 00 00 00", 0x00)] // why an all-zero frame needs another test
    public void Published_frames_have_their_check_byte(string bytes, byte expected) =>
        Assert.Equal(expected, Crc8.Of(Convert.FromHexString(bytes.Replace(" ", "", StringComparison.Ordinal))));

    [Fact]
    public void Any_one_or_two_flipped_bits_in_a_frame_are_seen() =>
        Gen.Select(Gen.Byte.Array[8], Gen.Int[0, 71], Gen.Int[0, 71]).Sample((bytes, first, second) =>
        {
            byte[] frame = [.. bytes, Crc8.Of(bytes)];
            frame[first / 8] ^= (byte)(1 << (first % 8));
            if (second != first)
            {
                frame[second / 8] ^= (byte)(1 << (second % 8));
            }

            return Crc8.Of(frame) != 0;
        });
}
