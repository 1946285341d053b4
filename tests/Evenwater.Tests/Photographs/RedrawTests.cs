using System.Text;
using Evenwater.Photographs;
using SkiaSharp;

namespace Evenwater.Tests.Photographs;

/// <summary>What is drawn anew is upright, small, and holds nothing but its picture.</summary>
public class RedrawTests
{
    [Fact]
    public void Nothing_that_stood_beside_the_pixels_is_in_the_new_picture()
    {
        var from = MadePicture.Camera(MadePicture.Jpeg(64, 48), orientation: 1);
        Assert.Equal([0xE1, 0xE1, 0xE2, 0xED, 0xFE], MadePicture.Markers(from).Take(5)); // it was there
        Assert.Contains(MadePicture.Secret, Encoding.Latin1.GetString(from), StringComparison.Ordinal);
        Assert.False(PlainJpeg.Is(from));
        var jpeg = Redrawn(from);
        Assert.All(MadePicture.Markers(jpeg), marker => Assert.Contains(marker, new byte[] { 0xE0, 0xDB, 0xC0, 0xC4 })); // JFIF, tables, baseline frame
        Assert.DoesNotContain(MadePicture.Secret, Encoding.Latin1.GetString(jpeg), StringComparison.Ordinal);
        Assert.Equal([0xFF, 0xD9], jpeg[^2..]);
        Assert.True(PlainJpeg.Is(jpeg));
    }

    /// <summary>ITU-T T.81, B.1.1.3: markers of application data and of a comment, each by itself right after the start; and what comes after the end.</summary>
    [Theory]
    [InlineData(0xE1)] // Exif, XMP
    [InlineData(0xE2)] // colour profile
    [InlineData(0xED)]
    [InlineData(0xFE)] // comment
    [InlineData(0xD9)]
    public void One_thing_beside_the_picture_is_enough_not_to_be_plain(byte marker)
    {
        var plain = Redrawn(MadePicture.Jpeg(64, 48));
        Assert.True(PlainJpeg.Is(plain));
        Assert.False(PlainJpeg.Is(marker == 0xD9 ? [.. plain, 0xFF, 0xD9] : [.. plain[..2], 0xFF, marker, 0, 4, 1, 2, .. plain[2..]]));
    }

    /// <summary>Exif 2.32, tag Orientation: which side of the picture row 0 and column 0 of the stored pixels are. The stored quarters are worked by hand from that for a picture seen as red, lime / blue, yellow.</summary>
    [Theory]
    [InlineData(1, "RLBY")] // row 0 top, column 0 left
    [InlineData(2, "LRYB")] // top, right
    [InlineData(3, "YBLR")] // bottom, right
    [InlineData(4, "BYRL")] // bottom, left
    [InlineData(5, "RBLY")] // left, top
    [InlineData(6, "LYRB")] // right, top
    [InlineData(7, "YLBR")] // right, bottom
    [InlineData(8, "BRYL")] // left, bottom
    public void It_is_upright_however_the_camera_was_held(int orientation, string stored)
    {
        var turned = orientation >= 5;
        SKColor[] quarters = [.. stored.Select(c => MadePicture.Quarters["RLBY".IndexOf(c, StringComparison.Ordinal)])];
        using var seen = SKBitmap.Decode(Redrawn(MadePicture.Camera(MadePicture.Jpeg(64, 48, quarters), orientation)));
        Assert.Equal(turned ? (48, 64) : (64, 48), (seen.Width, seen.Height));
        for (var i = 0; i < 4; i++)
        {
            var pixel = seen.GetPixel((1 + (i % 2 * 2)) * seen.Width / 4, (1 + (i / 2 * 2)) * seen.Height / 4);
            var want = MadePicture.Quarters[i];
            Assert.True(Math.Abs(pixel.Red - want.Red) + Math.Abs(pixel.Green - want.Green) + Math.Abs(pixel.Blue - want.Blue) < 60, $"quarter {i}: {pixel}, not {want}");
        }
    }

    [Theory]
    [InlineData(4000, 1000, 1600, 400)]
    [InlineData(1000, 3000, 533, 1600)]
    [InlineData(2000, 1500, 1600, 1200)]
    [InlineData(300, 200, 300, 200)] // never enlarged
    public void The_longer_side_is_at_most_1600_pixels(int width, int height, int newWidth, int newHeight)
    {
        using var seen = SKBitmap.Decode(Redrawn(MadePicture.Jpeg(width, height)));
        Assert.InRange(seen.Width, newWidth - 1, newWidth + 1);
        Assert.InRange(seen.Height, newHeight - 1, newHeight + 1);
        Assert.True(Math.Max(seen.Width, seen.Height) <= 1600);
    }

    [Fact]
    public void What_is_transparent_becomes_white()
    {
        using var seen = SKBitmap.Decode(Redrawn(MadePicture.Png(100, 100)));
        Assert.True(seen.GetPixel(80, 80) is { Red: > 250, Green: > 250, Blue: > 250 });
        Assert.True(seen.GetPixel(20, 20) is { Red: > 240, Green: < 20, Blue: < 20 });
    }

    [Fact]
    public void What_says_it_is_enormous_is_refused_before_it_is_decoded()
    {
        Assert.Equal(RedrawEnd.TooManyPixels, Redraw.Of(MadePicture.PngSaying(60_000, 60_000)).End);
        Assert.Equal(RedrawEnd.TooManyPixels, Redraw.Of(MadePicture.PngSaying(12_001, 1000)).End);
        var jpeg = MadePicture.Jpeg(64, 48);
        var frame = Array.IndexOf(jpeg, (byte)0xC0, 20); // SOF0: marker, length, precision, then height and width
        while (jpeg[frame - 1] != 0xFF) frame = Array.IndexOf(jpeg, (byte)0xC0, frame + 1);
        foreach (var at in new[] { frame + 4, frame + 6 }) (jpeg[at], jpeg[at + 1]) = (0xFF, 0x00);
        Assert.Equal(RedrawEnd.TooManyPixels, Redraw.Of(jpeg).End);
    }

    [Fact]
    public void What_is_not_whole_is_refused()
    {
        var jpeg = MadePicture.Jpeg(640, 480);
        Assert.Equal(RedrawEnd.Broken, Redraw.Of(jpeg[..(jpeg.Length / 2)]).End);
        Assert.Equal(RedrawEnd.Broken, Redraw.Of(jpeg[..12]).End);
        Assert.Equal(RedrawEnd.Broken, Redraw.Of(MadePicture.PngSaying(100, 1000)).End);
    }

    private static byte[] Redrawn(byte[] file)
    {
        var (end, jpeg) = Redraw.Of(file);
        Assert.Equal(RedrawEnd.Fine, end);
        return jpeg!.ToArray();
    }
}
