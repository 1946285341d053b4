using System.Text;

namespace Evenwater.Page;

/// <summary>Text from configuration and probes made safe to put on one line of a terminal, a log or an XML text.</summary>
internal static class Plain
{
    /// <summary>At most so many characters, and dots where more there were; a sign of two, as most emoji are, is not halved.</summary>
    public static string Shortened(string text, int most) => text.Length <= most ? text : $"{text[..(char.IsHighSurrogate(text[most - 1]) ? most - 1 : most)].TrimEnd()}…";

    /// <summary>Control characters, line breaks and unpaired surrogates become spaces.</summary>
    public static string Line(string text)
    {
        var line = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
        {
            line.Append(Rune.IsControl(rune) || rune == Rune.ReplacementChar || rune.Value is 0xFFFE or 0xFFFF or 0x2028 or 0x2029 ? new Rune(' ') : rune);
        }

        return line.ToString();
    }
}
