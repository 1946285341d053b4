namespace Evenwater.Page.Access;

/// <summary>
/// What a new password must be: long, and none that is tried first. No rule about kinds of characters, none about its age (NIST SP 800-63B, "Memorized Secret
/// Verifiers": at least 8 characters, at least 64 allowed, all printing characters and spaces, a blocklist, no composition rules, no regular change).
/// </summary>
internal static class PasswordRules
{
    /// <summary>Characters. NIST asks for 8; there is no second factor here, so more.</summary>
    public const int Shortest = 12;

    /// <summary>Characters. NIST asks for 64 at least; a bound there must be, for the hash's sake.</summary>
    public const int Longest = 256;

    private const int FewestDifferent = 5;
    private const int FewestLeft = 6;

    // From memory, what lists of leaked passwords are full of; and this program's own words, which NIST calls context-specific.
    private static readonly string[] s_triedFirst =
    [
        "evenwater", "aquarium", "password", "passwort", "letmein", "welcome", "changeme", "default", "secret", "admin", "qwertyuiop", "qwerty", "asdfgh", "iloveyou",
        "raspberry", "1234567890", "123456", "654321", "111111", "000000", "abcdef", "abc123",
    ];

    /// <summary>Why it can not be taken; null for a good one.</summary>
    public static string? Refusal(string password)
    {
        var length = password.EnumerateRunes().Count();
        if (length is < Shortest or > Longest)
        {
            return $"The password has {length} characters; allowed: {Shortest} to {Longest}. Four or five words that do not belong together are easy to keep in mind.";
        }

        if (password.Any(char.IsControl))
        {
            return "The password has a character that can not be typed into a page (a tab, a line end); allowed: letters, digits, signs, spaces.";
        }

        if (password.Contains('\uFFFD', StringComparison.Ordinal))
        {
            return "The password has bytes that are no UTF-8, and would never fit what a browser sends; allowed: text in UTF-8. Type it at the terminal, or save its file as UTF-8.";
        }

        return IsTriedFirst(password) ? "This password is one of those that are tried first. Take another, such as four or five words that do not belong together." : null;
    }

    private static bool IsTriedFirst(string password)
    {
        var left = password.ToUpperInvariant();
        foreach (var word in s_triedFirst)
        {
            left = left.Replace(word.ToUpperInvariant(), "", StringComparison.Ordinal);
        }

        return left.EnumerateRunes().Count() < FewestLeft || password.EnumerateRunes().Distinct().Count() < FewestDifferent || IsRow(password);
    }

    private static bool IsRow(string text) => text.Zip(text.Skip(1), (a, b) => b - a).All(step => step is 1 or -1);
}
