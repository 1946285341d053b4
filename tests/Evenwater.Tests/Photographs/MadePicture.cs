using System.Buffers.Binary;
using System.IO.Compression;
using System.Text;
using SkiaSharp;

namespace Evenwater.Tests.Photographs;

/// <summary>Pictures made for tests, with what cameras and programs put beside the pixels.</summary>
internal static class MadePicture
{
    /// <summary>Stands in every kind of data beside the pixels.</summary>
    public const string Secret = "SECRET-PLACE";

    /// <summary>Of the four quarters as a person sees them: from top left by rows.</summary>
    public static IReadOnlyList<SKColor> Quarters { get; } = [SKColors.Red, SKColors.Lime, SKColors.Blue, SKColors.Yellow];

    /// <summary>A JPEG without anything beside the pixels, its quarters as given, from top left by rows as they are stored.</summary>
    public static byte[] Jpeg(int width, int height, IReadOnlyList<SKColor>? quarters = null)
    {
        using var surface = Drawn(width, height, quarters ?? Quarters);
        using var pixels = surface.PeekPixels();
        using var jpeg = pixels.Encode(new SKJpegEncoderOptions(95, SKJpegEncoderDownsample.Downsample444, SKJpegEncoderAlphaOption.Ignore));
        return jpeg!.ToArray();
    }

    /// <summary>A JPEG as large as a camera's: grain in every pixel, half a byte to a byte and a half each.</summary>
    public static byte[] Grainy(int width, int height)
    {
        using var picture = new SKBitmap(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        new Random(1).NextBytes(picture.GetPixelSpan());
        using var pixels = picture.PeekPixels();
        using var jpeg = pixels.Encode(new SKJpegEncoderOptions(90, SKJpegEncoderDownsample.Downsample420, SKJpegEncoderAlphaOption.Ignore));
        return jpeg!.ToArray();
    }

    /// <summary>The same with Exif (orientation and a place), XMP, a colour profile, Photoshop's data and a comment.</summary>
    public static byte[] Camera(byte[] jpeg, int orientation) =>
    [
        .. jpeg[..2],
        .. Segment(0xE1, [.. "Exif\0\0"u8, .. Exif((ushort)orientation)]),
        .. Segment(0xE1, Encoding.ASCII.GetBytes($"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>{Secret}</x:xmpmeta>")),
        .. Segment(0xE2, Encoding.ASCII.GetBytes($"ICC_PROFILE\0\u0001\u0001{Secret}")),
        .. Segment(0xED, Encoding.ASCII.GetBytes($"Photoshop 3.0\0{Secret}")),
        .. Segment(0xFE, Encoding.ASCII.GetBytes(Secret)),
        .. jpeg[2..],
        .. "PK\u0003\u0004"u8,
        .. Encoding.ASCII.GetBytes(Secret), // what some phones hang behind the picture
    ];

    /// <summary>The markers of a JPEG's segments up to its scan, read here and not by the program's own code (ITU-T T.81, B.1.1).</summary>
    public static IReadOnlyList<byte> Markers(byte[] jpeg)
    {
        var found = new List<byte>();
        for (var at = 2; jpeg[at] == 0xFF && jpeg[at + 1] != 0xDA; at += 2 + ((jpeg[at + 2] << 8) | jpeg[at + 3]))
        {
            found.Add(jpeg[at + 1]);
        }

        return found;
    }

    /// <summary>A PNG that says it is of this size; what follows is a few zeros.</summary>
    public static byte[] PngSaying(int width, int height)
    {
        var head = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(head, width);
        BinaryPrimitives.WriteInt32BigEndian(head.AsSpan(4), height);
        (head[8], head[9]) = (8, 2); // 8 bits, RGB
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true)) zlib.Write(new byte[5000]);
        return [0x89, .. "PNG\r\n\u001a\n"u8, .. Chunk("IHDR", head), .. Chunk("IDAT", packed.ToArray()), .. Chunk("IEND", [])];
    }

    /// <summary>A PNG that is there only in part: transparent, with one opaque quarter.</summary>
    public static byte[] Png(int width, int height)
    {
        using var surface = SKSurface.Create(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Premul));
        surface.Canvas.DrawRect(0, 0, width / 2f, height / 2f, new SKPaint { Color = SKColors.Red });
        using var image = surface.Snapshot();
        using var png = image.Encode(SKEncodedImageFormat.Png, 100);
        return png.ToArray();
    }

    private static SKSurface Drawn(int width, int height, IReadOnlyList<SKColor> quarters)
    {
        var surface = SKSurface.Create(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        for (var i = 0; i < quarters.Count; i++)
        {
            surface.Canvas.DrawRect(i % 2 * width / 2f, i / 2 * height / 2f, width / 2f, height / 2f, new SKPaint { Color = quarters[i] });
        }

        return surface;
    }

    private static byte[] Segment(byte marker, byte[] data) => [0xFF, marker, (byte)((data.Length + 2) >> 8), (byte)(data.Length + 2), .. data];

    /// <summary>TIFF, little-endian: IFD 0 with Orientation and GPS; the GPS IFD with 52° 31' N (Exif 2.32, 4.6.4 and 4.6.6).</summary>
    private static byte[] Exif(ushort orientation)
    {
        using var bytes = new MemoryStream();
        using var to = new BinaryWriter(bytes);
        to.Write("II"u8);
        to.Write((ushort)42);
        to.Write(8u);
        to.Write((ushort)2);
        Entry(0x0112, 3, 1, orientation);
        Entry(0x8825, 4, 1, 38);
        to.Write(0u);
        to.Write((ushort)2); // at 38
        Entry(0x0001, 2, 2, 'N');
        Entry(0x0002, 5, 3, 68);
        to.Write(0u);
        foreach (var (upper, lower) in new[] { (52u, 1u), (31u, 1u), (0u, 1u) }) // at 68
        {
            to.Write(upper);
            to.Write(lower);
        }

        to.Write(Encoding.ASCII.GetBytes(Secret));
        return bytes.ToArray();

        void Entry(ushort tag, ushort type, uint count, uint value)
        {
            to.Write(tag);
            to.Write(type);
            to.Write(count);
            to.Write(value);
        }
    }

    private static byte[] Chunk(string type, byte[] data)
    {
        var (length, check) = (new byte[4], new byte[4]);
        byte[] body = [.. Encoding.ASCII.GetBytes(type), .. data];
        BinaryPrimitives.WriteInt32BigEndian(length, data.Length);
        BinaryPrimitives.WriteUInt32BigEndian(check, Crc(body));
        return [.. length, .. body, .. check];
    }

    // PNG specification, annex D.
    private static uint Crc(byte[] data)
    {
        var crc = uint.MaxValue;
        foreach (var one in data)
        {
            crc ^= one;
            for (var bit = 0; bit < 8; bit++) crc = (crc & 1) == 0 ? crc >> 1 : 0xEDB88320 ^ (crc >> 1);
        }

        return ~crc;
    }
}
