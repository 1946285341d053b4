using SkiaSharp;

namespace Evenwater.Photographs;

/// <summary>
/// Draws a picture anew: upright, at most 1600 pixels on its longer side, in sRGB, as a JPEG of the drawn pixels alone. Nothing of the file itself is copied, so
/// nothing that stood in it beside the pixels (where and when it was taken, by what, of whom) is in the new one. Runs in a process of its own (<see cref="RedrawProcess"/>).
/// </summary>
internal static class Redraw
{
    /// <summary>Longest side of what comes out, pixels. Our own choice: fills a tablet, and takes 0.2 to 0.6 MB.</summary>
    public const int LongestSide = 1600;

    /// <summary>Most pixels of a JPEG, which is decoded at an eighth to the whole of its size. Our own choice: phones make up to 50 million.</summary>
    public const long MostJpegPixels = 50_000_000;

    /// <summary>Most pixels of a PNG or WebP, which must be decoded whole: 4 bytes each. Our own choice.</summary>
    public const long MostWholePixels = 12_000_000;

    private const int Quality = 82; // common practice, no source: little to be seen against 95, a third of the size

    /// <summary>The new picture, or how it ended.</summary>
    public static (RedrawEnd End, SKData? Jpeg) Of(byte[] file)
    {
        using var data = SKData.CreateCopy(file);
        using SKCodec? codec = Codec(data);
        if (codec is null) return (RedrawEnd.Broken, null);
        if (codec.EncodedFormat is not (SKEncodedImageFormat.Jpeg or SKEncodedImageFormat.Png or SKEncodedImageFormat.Webp)) return (RedrawEnd.NoPicture, null);
        var jpeg = codec.EncodedFormat == SKEncodedImageFormat.Jpeg;
        if ((long)codec.Info.Width * codec.Info.Height > (jpeg ? MostJpegPixels : MostWholePixels)) return (RedrawEnd.TooManyPixels, null);

        var shrink = Math.Min(1, (float)LongestSide / Math.Max(codec.Info.Width, codec.Info.Height));
        // The decoder knows eighths: the next larger one loses nothing.
        var size = jpeg ? codec.GetScaledDimensions(MathF.Ceiling(shrink * 8) / 8) : codec.Info.Size;
        using var srgb = SKColorSpace.CreateSrgb();
        using var decoded = new SKBitmap(new SKImageInfo(size.Width, size.Height, SKColorType.Rgba8888, SKAlphaType.Premul, srgb));
        if (codec.GetPixels(decoded.Info, decoded.GetPixels()) != SKCodecResult.Success) return (RedrawEnd.Broken, null);
        return (RedrawEnd.Fine, Drawn(decoded, codec.EncodedOrigin));
    }

    // Null for what it can not read, though it is not declared so.
    private static SKCodec? Codec(SKData data) => SKCodec.Create(data);

    private static SKData? Drawn(SKBitmap decoded, SKEncodedOrigin origin)
    {
        var turned = origin >= SKEncodedOrigin.LeftTop;
        var (width, height) = turned ? (decoded.Height, decoded.Width) : (decoded.Width, decoded.Height);
        var shrink = Math.Min(1, (float)LongestSide / Math.Max(width, height));
        // Without a colour space of its own the encoder writes no profile; the pixels are sRGB, which is what is assumed then.
        using var surface = SKSurface.Create(new SKImageInfo(Side(width), Side(height), SKColorType.Rgba8888, SKAlphaType.Opaque));
        surface.Canvas.Clear(SKColors.White);
        surface.Canvas.Scale((float)Side(width) / width, (float)Side(height) / height);
        surface.Canvas.Concat(Upright(origin, decoded.Width, decoded.Height));
        decoded.SetImmutable();
        using var image = SKImage.FromBitmap(decoded);
        surface.Canvas.DrawImage(image, 0, 0, new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear));
        using var pixels = surface.PeekPixels();
        return pixels.Encode(new SKJpegEncoderOptions(Quality, SKJpegEncoderDownsample.Downsample420, SKJpegEncoderAlphaOption.Ignore));

        int Side(int pixels) => Math.Max(1, (int)MathF.Round(pixels * shrink));
    }

    /// <summary>From the pixels as they are stored to the picture as it was seen (Exif 2.32, tag Orientation: which sides of the picture the first row and column are).</summary>
    private static SKMatrix Upright(SKEncodedOrigin origin, float width, float height) => origin switch
    {
        SKEncodedOrigin.TopRight => new SKMatrix(-1, 0, width, 0, 1, 0, 0, 0, 1),
        SKEncodedOrigin.BottomRight => new SKMatrix(-1, 0, width, 0, -1, height, 0, 0, 1),
        SKEncodedOrigin.BottomLeft => new SKMatrix(1, 0, 0, 0, -1, height, 0, 0, 1),
        SKEncodedOrigin.LeftTop => new SKMatrix(0, 1, 0, 1, 0, 0, 0, 0, 1),
        SKEncodedOrigin.RightTop => new SKMatrix(0, -1, height, 1, 0, 0, 0, 0, 1),
        SKEncodedOrigin.RightBottom => new SKMatrix(0, -1, height, -1, 0, width, 0, 0, 1),
        SKEncodedOrigin.LeftBottom => new SKMatrix(0, 1, 0, -1, 0, width, 0, 0, 1),
        _ => SKMatrix.Identity,
    };
}
