using System.Security.Cryptography;
using System.Text;
using Evenwater.Running;

namespace Evenwater.Followers;

/// <summary>What a person is to sign before a valve may be opened, or a trip reset, over MQTT.</summary>
/// <param name="Station">The station's name.</param>
/// <param name="Verb">open or reset.</param>
/// <param name="Budget">The most that it would permit; nothing for a reset, which opens nothing.</param>
/// <param name="Nonce">Said once: 32 hexadecimal digits.</param>
internal sealed record Challenge(string Station, string Verb, OpeningBudget Budget, string Nonce)
{
    /// <summary>Good for so long, s, of the monotonic clock.</summary>
    public const uint ValidSeconds = 30;

    /// <summary>128 bits: guessing one of 2^128 within half a minute is out of reach.</summary>
    public const int NonceBytes = 16;

    /// <summary>What is signed, ASCII, one space between the parts and no line end. No part can hold a space, so no two challenges read the same.</summary>
    public string Text => $"evenwater/v1 {Station} {Verb} {Budget.Millilitres} {Budget.Seconds} {Nonce}";

    /// <summary>What it means, for the person who is to sign it.</summary>
    public string Shown => Verb == "open"
        ? $"Signing this opens {Station} for at most {Budget.Millilitres} mL and {Budget.Seconds} s, within {ValidSeconds} s from now."
        : $"Signing this resets {Station}, within {ValidSeconds} s from now. It opens nothing.";

    /// <summary>A new one.</summary>
    public static Challenge Of(string station, string verb, OpeningBudget budget) =>
        new(station, verb, budget, Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(NonceBytes)));

    /// <summary>HMAC-SHA-256 (RFC 2104, FIPS 180-4) of <see cref="Text"/>, 64 hexadecimal digits.</summary>
    public string Sign(byte[] key) => Convert.ToHexStringLower(HMACSHA256.HashData(key, Encoding.ASCII.GetBytes(Text)));

    /// <summary>Whether it was signed with the key; takes as long whichever digit is wrong.</summary>
    public bool IsSigned(byte[] key, string mac) =>
        CryptographicOperations.FixedTimeEquals(Encoding.ASCII.GetBytes(Sign(key)), Encoding.ASCII.GetBytes(mac.ToLowerInvariant()));
}
