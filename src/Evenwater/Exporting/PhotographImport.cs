using System.Buffers;
using System.Security.Cryptography;
using System.Text.Json;
using Evenwater.Core.Keeping;
using Evenwater.Photographs;

namespace Evenwater.Exporting;

/// <summary>Puts the photographs of an export together again: each is what its name says, and no more than a plain redrawn picture. One at a time is held.</summary>
/// <param name="folder">The folder of the new log.</param>
internal sealed class PhotographImport(string folder)
{
    private readonly PhotographFolder _folder = new(folder);
    private readonly ArrayBufferWriter<byte> _file = new();
    private (string Name, long Bytes)? _open;

    /// <summary>How many are complete.</summary>
    public int Count { get; private set; }

    /// <summary>The next part of one.</summary>
    /// <exception cref="JsonException">It is not what follows, or not the file of that name.</exception>
    public void Take(PhotographPart part)
    {
        LogImport.Require(PhotographNames.Is(part.Name), "a photograph's name is the SHA-256 of its file, 64 hexadecimal digits");
        LogImport.Require(part.Bytes is > 0 and <= Darkroom.MostRedrawnBytes, $"photograph {part.Name}: bytes = {part.Bytes}; allowed: 1 to {Darkroom.MostRedrawnBytes}");
        LogImport.Require(_open is null || _open == (part.Name, part.Bytes), $"photograph {part.Name} begins before the one before it is complete");
        LogImport.Require(part.Part.Length is > 0 and <= PhotographPart.MostBytes && _file.WrittenCount + part.Part.Length <= part.Bytes, $"photograph {part.Name} is longer than it says");
        _open = (part.Name, part.Bytes);
        _file.Write(part.Part);
        if (_file.WrittenCount < part.Bytes)
        {
            return;
        }

        var jpeg = _file.WrittenSpan.ToArray();
        LogImport.Require(IsWhole(part.Name, jpeg), $"photograph {part.Name} is not what it was");
        if (_folder.Keep(jpeg) is { Name: null, Refusal: { } refusal })
        {
            throw new IOException($"photograph {part.Name} is not kept: {refusal}");
        }

        (_open, Count) = (null, Count + 1);
        _file.Clear();
    }

    /// <summary>Whether a file is what its name says, and a plain redrawn picture.</summary>
    public static bool IsWhole(string name, byte[] jpeg) =>
        jpeg.Length <= Darkroom.MostRedrawnBytes && Convert.ToHexStringLower(SHA256.HashData(jpeg)) == name && PlainJpeg.Is(jpeg);

    /// <summary>How many came; none may be half there.</summary>
    /// <exception cref="JsonException">The last is not complete.</exception>
    public int End()
    {
        LogImport.Require(_open is null, $"photograph {_open?.Name} is not complete");
        return Count;
    }
}
