using System.Globalization;
using System.Text.RegularExpressions;
using Evenwater.Page;

namespace Evenwater.Tests.Page;

/// <summary>Contrast by WCAG 2.2, definition of relative luminance; success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (lines, 3:1).</summary>
public partial class ContrastTests
{
    [Theory]
    [InlineData(0)] // light
    [InlineData(1)] // dark
    public void Every_text_colour_stands_out_from_its_ground(int scheme)
    {
        using var css = new StreamReader(typeof(StationView).Assembly.GetManifestResourceStream("page.css")!);
        var colours = Root().Matches(css.ReadToEnd())[scheme].Value;
        double Luminance(string name) => RelativeLuminance(Regex.Match(colours, $"--{name}: #([0-9a-f]{{6}})").Groups[1].Value);
        double Contrast(string a, string b)
        {
            var (x, y) = (Luminance(a), Luminance(b));
            return (Math.Max(x, y) + 0.05) / (Math.Min(x, y) + 0.05);
        }

        foreach (var text in new[] { "ink", "quiet", "vessel", "tank", "level", "alert" }) Assert.True(Contrast(text, "paper") >= 4.5, text);
        Assert.True(Contrast("ink", "note") >= 4.5, "note");
        Assert.True(Contrast("on-alert", "alert") >= 4.5, "button");
    }

    [Fact]
    public void Black_on_white_is_21_to_1() => Assert.Equal(21, (RelativeLuminance("ffffff") + 0.05) / (RelativeLuminance("000000") + 0.05), 6);

    private static double RelativeLuminance(string hex)
    {
        double Linear(int from)
        {
            var c = int.Parse(hex.AsSpan(from, 2), NumberStyles.HexNumber, CultureInfo.InvariantCulture) / 255.0;
            return c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4);
        }

        return (0.2126 * Linear(0)) + (0.7152 * Linear(2)) + (0.0722 * Linear(4));
    }

    [GeneratedRegex(@":root \{.*?\}", RegexOptions.Singleline)]
    private static partial Regex Root();
}
