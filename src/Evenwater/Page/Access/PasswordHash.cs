using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Evenwater.Page.Access;

/// <summary>
/// What is kept of the page's password: PBKDF2 with HMAC-SHA-256 (RFC 8018, section 5.2), its salt and its cost. A password is hashed as UTF-8, as typed:
/// the framework normalises nothing under invariant globalisation, so an accent must be typed alike each time.
/// </summary>
/// <param name="Iterations">The cost.</param>
/// <param name="Salt">16 bytes: NIST SP 800-132, section 5.1, asks for 128 bits.</param>
/// <param name="Hash">32 bytes, as many as the hash function gives: more would help nobody but the one who guesses.</param>
internal sealed record PasswordHash(int Iterations, byte[] Salt, byte[] Hash)
{
    /// <summary>OWASP, Password Storage Cheat Sheet, "PBKDF2": 600,000 with HMAC-SHA-256. Argon2id is its first choice, but no part of .NET.</summary>
    public const int UsualIterations = 600_000;

    /// <summary>Ten times the usual: more would keep a small computer busy for half a minute at each sign-in (a Pi 4 takes some 2 s for the usual, from memory).</summary>
    public const int MostIterations = 6_000_000;

    private const int SaltBytes = 16;
    private const int HashBytes = 32;
    private const string Kind = "pbkdf2-sha256";

    /// <summary>Of a new password, with a salt of its own.</summary>
    public static PasswordHash Of(string password)
    {
        var salt = RandomNumberGenerator.GetBytes(SaltBytes);
        return new PasswordHash(UsualIterations, salt, Derive(password, salt, UsualIterations, HashBytes));
    }

    /// <summary>Reads what <see cref="ToString"/> wrote; null for anything else, weaker or dearer.</summary>
    public static PasswordHash? Parse(string text)
    {
        var parts = text.Split('$');
        var (salt, hash) = (new byte[SaltBytes], new byte[HashBytes]);
        return parts is ["", Kind, ['i', '=', .. var iterations], var saltText, var hashText]
            && int.TryParse(iterations, NumberStyles.None, CultureInfo.InvariantCulture, out var count) && count is >= UsualIterations and <= MostIterations
            && Convert.TryFromBase64String(saltText, salt, out var saltBytes) && saltBytes == SaltBytes
            && Convert.TryFromBase64String(hashText, hash, out var hashBytes) && hashBytes == HashBytes
            ? new PasswordHash(count, salt, hash)
            : null;
    }

    /// <summary>Whether it is the password. Takes as long for a wrong one.</summary>
    public bool IsOf(string password) => CryptographicOperations.FixedTimeEquals(Derive(password, Salt, Iterations, Hash.Length), Hash);

    /// <summary>One line with all its parameters: $pbkdf2-sha256$i=COST$SALT$HASH, the last two in base64.</summary>
    public override string ToString() => $"${Kind}$i={Iterations}${Convert.ToBase64String(Salt)}${Convert.ToBase64String(Hash)}";

    private static byte[] Derive(string password, byte[] salt, int iterations, int bytes) =>
        Rfc2898DeriveBytes.Pbkdf2(Encoding.UTF8.GetBytes(password), salt, iterations, HashAlgorithmName.SHA256, bytes);
}
