using System.Globalization;
using System.Text.RegularExpressions;
using Evenwater.HardwareTests.Circuit;

namespace Evenwater.HardwareTests;

/// <summary>The wiring table of hardware/README.md, as far as it can be checked without a board.</summary>
public partial class WiringTableTests
{
    /// <summary>Header pin of each GPIO, from the published pinout of the 40-pin header.</summary>
    private static readonly Dictionary<int, int> Header = new()
    {
        [2] = 3, [3] = 5, [4] = 7, [5] = 29, [6] = 31, [7] = 26, [8] = 24, [9] = 21, [10] = 19, [11] = 23, [12] = 32, [13] = 33, [14] = 8, [15] = 10,
        [16] = 36, [17] = 11, [18] = 12, [19] = 35, [20] = 38, [21] = 40, [22] = 15, [23] = 16, [24] = 18, [25] = 22, [26] = 37, [27] = 13,
    };

    private static readonly List<(string Signal, int Name, int Offset, int Pin, string AtBoot, string Key)> Rows =
    [
        .. Row().Matches(HardwareFolder.Text("README.md")).Select(m => (
            m.Groups[1].Value, Number(m, 2), Number(m, 3), Number(m, 4), m.Groups[5].Value, m.Groups[6].Value)),
    ];

    [Fact]
    public void Each_line_has_its_own_pin_of_the_header_and_the_pull_that_it_boots_with()
    {
        Assert.Equal(10, Rows.Count);
        Assert.Equal(Rows.Count, Rows.Select(row => row.Name).Distinct().Count());
        Assert.All(Rows, row => Assert.Equal((row.Name, Header[row.Name], row.Name <= 8 ? "up" : "down"), (row.Offset, row.Pin, row.AtBoot)));
    }

    [Fact]
    public void Switches_boot_pulled_up_and_the_valve_boots_pulled_down() => Assert.All(
        Rows.Where(row => row.Key.Contains("Line\"", StringComparison.Ordinal)),
        row => Assert.Equal(
            row.Key.Contains("float", StringComparison.Ordinal) || row.Key.Contains("leak", StringComparison.Ordinal) ? "up" : "down", row.AtBoot));

    [Fact]
    public void The_station_files_numbers_are_the_lines() => Assert.All(
        Rows.Where(row => row.Key.Contains("Line\"", StringComparison.Ordinal)),
        row => Assert.Matches($"Line\": {row.Offset}\\b", row.Key));

    private static int Number(Match match, int group) => int.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"^\| ([^|]+) \| GPIO(\d+) \| (\d+) \| (\d+) \| (up|down) \| ([^|]+) \|$", RegexOptions.Multiline)]
    private static partial Regex Row();
}
