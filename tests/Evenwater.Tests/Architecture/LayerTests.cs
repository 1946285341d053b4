using ArchUnitNET.Fluent;
using ArchUnitNET.Loader;
using static ArchUnitNET.Fluent.ArchRuleDefinition;

namespace Evenwater.Tests.Architecture;

/// <summary>Core is pure, devices are seen by Hardware alone; and the same rules are red where they should be.</summary>
public class LayerTests
{
    private const string Outside = @"^System\.(IO|Net|Device|Threading\.Tasks)(\.|$)";
    private const string Devices = @"^(System\.Device|Iot\.Device)(\.|$)";

    private static readonly ArchUnitNET.Domain.Architecture Everything = new ArchLoader().LoadAssemblies(
        typeof(Evenwater.Core.Cycle).Assembly, typeof(Evenwater.Hardware.StationDevices).Assembly, typeof(Evenwater.Commands.Exit).Assembly).Build();

    [Fact]
    public void Core_does_no_IO() => Assert.Empty(Broken(Nothing("Evenwater.Core", Outside)));

    [Fact]
    public void Core_knows_neither_hardware_nor_program() =>
        Assert.Empty(Broken(Nothing("Evenwater.Core", @"^Evenwater\.(Hardware|Log|Followers|Page|Commands|Running|Options|Control|Terminal|Watch|Calibrating|Keeping)(\.|$)")));

    [Fact]
    public void The_program_sees_no_device() =>
        Assert.Empty(Broken(Nothing("Evenwater.(Log|Followers|Page|Commands|Running|Options|Control|Terminal|Watch|Calibrating|Keeping)", Devices)));

    [Fact]
    public void Nothing_decides_by_a_record_that_was_corrected_afterwards() => Assert.Empty(Broken(NoReview(
        @"Evenwater\.Core(\.(Alarms|Estimation|Mixing|Planning|Safety|Samples|Scoring|Screening|Stations|Telling))?$|^Evenwater\.(Running|Control|Followers|Hardware)(\.|$)")));

    [Fact]
    public void The_same_rules_are_red_where_they_should_be()
    {
        Assert.NotEmpty(Broken(Nothing("Evenwater.Hardware", Devices)));
        Assert.NotEmpty(Broken(Nothing("Evenwater.Log", Outside)));
        Assert.NotEmpty(Broken(Nothing("Evenwater.Running", @"^Evenwater\.Hardware(\.|$)")));
        Assert.NotEmpty(Broken(NoReview(@"Evenwater\.Core\.Calibration$")));
    }

    private static IArchRule Nothing(string from, string to) => Types().That()
        .ResideInNamespaceMatching($@"^{from}(\.|$)").Should().NotDependOnAnyTypesThat().ResideInNamespaceMatching(to);

    private static IArchRule NoReview(string from) => Types().That()
        .ResideInNamespaceMatching($"^{from}").Should().NotDependOnAnyTypesThat().HaveNameMatching("^(DriftReview|ReviewedReading)$");

    private static List<string> Broken(IArchRule rule) =>
        [.. rule.Evaluate(Everything).Where(r => !r.Passed).Select(r => r.Description)];
}
