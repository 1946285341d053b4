using System.Xml.Linq;
using Evenwater.HardwareTests.Circuit;

namespace Evenwater.HardwareTests.Drawing;

/// <summary>Netlist, drawing's source and drawing say the same.</summary>
public class DrawingTests
{
    public static TheoryData<string> Drawings => [.. Sources()];

    [Theory]
    [MemberData(nameof(Drawings))]
    public void A_drawing_is_the_one_its_source_makes(string source)
    {
        var drawn = HardwareFolder.Text(Path.ChangeExtension(source, ".svg"));
        Assert.True(Svg.Of(Sheet.Read(source)) == drawn, $"{source} and its .svg disagree: dotnet run --project tests/Evenwater.Hardware.Tests -c Release -- draw");
        Assert.NotEmpty(XDocument.Parse(drawn).Descendants());
    }

    [Theory]
    [MemberData(nameof(Drawings))]
    public void A_drawing_has_every_part_of_its_netlist_once_and_joins_the_same_pins(string source) => Assert.Empty(Differences(Sheet.Read(source)));

    [Fact]
    public void The_valves_circuit_is_drawn() => Assert.Contains("valve.drawing", Sources());

    [Theory]
    [InlineData("wire 300,190 300,330", "", "a joint less")]
    [InlineData("wire 500,300 500,360", "wire 500,300 500,360\nwire 500,420 520,420 520,300", "a joint more")]
    [InlineData("place D1 500 390 up", "place D1 500 390 down", "a diode the wrong way round")]
    [InlineData("place R5 830 390 down\n", "", "a part less")]
    public void A_drawing_that_differs_from_its_netlist_is_red(string words, string instead, string how)
    {
        var source = HardwareFolder.Text("valve.drawing");
        Assert.Contains(words, source, StringComparison.Ordinal);
        Assert.True(Differences(Sheet.Parse("valve.drawing", source.Replace(words, instead, StringComparison.Ordinal))).Count > 0, how);
    }

    private static IEnumerable<string> Sources() => Directory.EnumerateFiles(HardwareFolder.Path(""), "*.drawing").Select(Path.GetFileName).OfType<string>().Order(StringComparer.Ordinal);

    private static List<string> Differences(Sheet sheet)
    {
        var drawn = Joints.Of(sheet).Select(Line).ToHashSet();
        var meant = Joints.Of(sheet.Netlist).Select(Line).ToHashSet();
        var parts = sheet.Parts.Select(placed => placed.Part.Name).Order(StringComparer.Ordinal);
        var wanted = sheet.Netlist.Parts.Select(part => part.Name).Order(StringComparer.Ordinal);
        return
        [
            .. drawn.Except(meant).Select(net => $"drawn, but not in the netlist: {net}"),
            .. meant.Except(drawn).Select(net => $"in the netlist, but not drawn: {net}"),
            .. parts.SequenceEqual(wanted) ? Array.Empty<string>() : [$"parts drawn: {string.Join(' ', parts)}"],
        ];

        static string Line(IReadOnlySet<string> net) => string.Join(' ', net.Order(StringComparer.Ordinal));
    }
}
