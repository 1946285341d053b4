using System.Buffers.Text;
using System.Security.Cryptography;

namespace Evenwater.Page.Access;

/// <summary>
/// What proves that a form is one of ours: a secret of the session, or of the process where nobody signs in, kept here and compared (OWASP, Cross-Site Request
/// Forgery Prevention Cheat Sheet, "Synchronizer Token Pattern"). Each page gets it under another mask, so that a compressed answer tells nothing of it.
/// </summary>
internal sealed class PageToken
{
    /// <summary>The form's field.</summary>
    public const string Field = "token";

    /// <summary>The header of a script.</summary>
    public const string Header = "X-Evenwater-Token";

    // Two of the system's random numbers, 122 bits each, without loading OpenSSL for them: 5 MB, which a page without a password does not need.
    private const int Bytes = 32;

    private readonly byte[] _secret = Random();

    /// <summary>It, as one answer shows it.</summary>
    public string Masked()
    {
        Span<byte> shown = stackalloc byte[2 * Bytes];
        Random().CopyTo(shown);
        for (var i = 0; i < Bytes; i++)
        {
            shown[Bytes + i] = (byte)(shown[i] ^ _secret[i]);
        }

        return Base64Url.EncodeToString(shown);
    }

    /// <summary>Whether a text is it under some mask, compared in a time that tells nothing.</summary>
    public bool Is(string? text)
    {
        Span<byte> shown = stackalloc byte[2 * Bytes];
        if (text is null || text.Length > 4 * Bytes || !Base64Url.IsValid(text) || !Base64Url.TryDecodeFromChars(text, shown, out var read) || read != shown.Length)
        {
            return false;
        }

        for (var i = 0; i < Bytes; i++)
        {
            shown[Bytes + i] ^= shown[i];
        }

        return CryptographicOperations.FixedTimeEquals(shown[Bytes..], _secret);
    }

    private static byte[] Random() => [.. Guid.NewGuid().ToByteArray(), .. Guid.NewGuid().ToByteArray()];
}
