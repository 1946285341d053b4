namespace Evenwater.Photographs;

/// <summary>What a file is by its first bytes, whatever it is called and whatever its sender says of it.</summary>
internal enum PictureKind
{
    /// <summary>None of those below.</summary>
    Other,

    /// <summary>ITU-T T.81, B.1.1.3: SOI, then another marker.</summary>
    Jpeg,

    /// <summary>PNG specification (W3C), 5.2: its signature of eight bytes.</summary>
    Png,

    /// <summary>RFC 9649, 2.4: RIFF, a size, WEBP.</summary>
    Webp,

    /// <summary>ISO/IEC 23008-12: a box ftyp with a brand of this family. What newer phones write unless told otherwise; not read here.</summary>
    Heif,
}

/// <summary>Tells kinds of pictures apart.</summary>
internal static class PictureKinds
{
    /// <summary>So many bytes are enough.</summary>
    public const int HeadBytes = 12;

    /// <summary>What may be attached, in words.</summary>
    public const string Allowed = "a JPEG, PNG or WebP picture";

    /// <summary>The kind of a file that begins so.</summary>
    public static PictureKind Of(ReadOnlySpan<byte> head) => head switch
    {
        [0xFF, 0xD8, 0xFF, ..] => PictureKind.Jpeg,
        [0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A, ..] => PictureKind.Png,
        [(byte)'R', (byte)'I', (byte)'F', (byte)'F', _, _, _, _, (byte)'W', (byte)'E', (byte)'B', (byte)'P', ..] => PictureKind.Webp,
        [_, _, _, _, (byte)'f', (byte)'t', (byte)'y', (byte)'p', (byte)'h' or (byte)'m', (byte)'e' or (byte)'i', .., _] => PictureKind.Heif,
        _ => PictureKind.Other,
    };
}
