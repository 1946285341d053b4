using Evenwater.Core.Stations;

namespace Evenwater.Photographs;

/// <summary>What came of redrawing a picture.</summary>
/// <param name="Jpeg">The new one; null when there is none.</param>
/// <param name="Refusal">Why there is none.</param>
internal sealed record Developed(byte[]? Jpeg, Problem? Refusal)
{
    /// <summary>The key of every refusal.</summary>
    public const string Key = "photograph";

    private const string Size = "at most 12 MiB; JPEG to 50 million pixels, PNG and WebP to 12 million";

    /// <summary>Others are being redrawn; it may be sent again.</summary>
    public static Developed Busy { get; } = new(null, new Problem(Key, "not looked at", "one at a time", "Others are being redrawn just now: send it again in half a minute."));

    /// <summary>Refused before anything is decoded.</summary>
    public static Developed Unread(PictureKind kind) => new(null, kind == PictureKind.Heif
        ? new Problem(Key, "a HEIF or HEIC picture", PictureKinds.Allowed, "Have the phone share it as JPEG (often called compatible), or take a screenshot of it.")
        : new Problem(Key, "no JPEG, PNG or WebP by its first bytes, whatever its name", PictureKinds.Allowed, "Choose the picture itself; save one of another kind (AVIF, GIF, TIFF) as JPEG first."));

    /// <summary>The process that redraws could not be started.</summary>
    public static Developed NotStarted(string why) => new(null, new Problem(Key, $"not looked at ({why})", PictureKinds.Allowed, "This computer starts no process for it just now: send it again in a minute, or write the note without it."));

    public static Developed Not(RedrawEnd end) => new(null, end switch
    {
        RedrawEnd.NoPicture => Unread(PictureKind.Other).Refusal!,
        RedrawEnd.TooManyPixels => new Problem(Key, "more pixels than are decoded here", Size, "Save it smaller, and send that."),
        RedrawEnd.Broken => new Problem(Key, "damaged, not whole, or in need of more memory than it may have", PictureKinds.Allowed, "Open it where it came from, save it anew and smaller, and send that."),
        RedrawEnd.TooLong => new Problem(Key, "took too long to decode", Size, "Save it smaller, and send that."),
        RedrawEnd.Unbound => new Problem(Key, "not looked at", PictureKinds.Allowed, "This computer lets no process bind itself, so no picture is decoded here. The note can be written without it."),
        _ => new Problem(Key, "took more memory than it may have, or broke the decoder", Size, "Save it smaller as a plain JPEG, and send that."),
    });

    public static Developed TooLarge(long bytes) => new(null, new Problem(Key, $"{bytes / 1048576.0:0.0} MiB", Size, "Save it smaller, and send that."));
}
