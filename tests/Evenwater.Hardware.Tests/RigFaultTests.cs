using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

public class RigFaultTests
{
    [Theory]
    [InlineData("siphon-surge@3h", FaultKind.SiphonSurge, 10800)]
    [InlineData("slow-clog@90m", FaultKind.SlowClog, 5400)]
    [InlineData("float-cut@0s", FaultKind.FloatCut, 0)]
    [InlineData("thermometer-85@1.5h", FaultKind.Thermometer85, 5400)]
    [InlineData("leak-wet", FaultKind.LeakWet, RigFault.DefaultAtSeconds)]
    public void A_fault_is_a_name_and_perhaps_a_time(string text, FaultKind kind, double seconds) =>
        Assert.Equal(new RigFault(kind, seconds), RigFault.Parse(text));

    [Theory]
    [InlineData("")]
    [InlineData("flood")]
    [InlineData("Slow-clog")]
    [InlineData("flood@3h")]
    public void An_unknown_name_is_refused_with_the_list_of_names(string text)
    {
        var failure = Assert.Throws<FormatException>(() => RigFault.Parse(text));
        Assert.All(RigFault.Names, name => Assert.Contains(name, failure.Message, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("slow-clog@")]
    [InlineData("slow-clog@3")]
    [InlineData("slow-clog@h")]
    [InlineData("slow-clog@-3h")]
    [InlineData("slow-clog@3d")]
    [InlineData("slow-clog@169h")]
    [InlineData("slow-clog@NaNh")]
    public void A_time_that_is_none_is_refused(string text) => Assert.Throws<FormatException>(() => RigFault.Parse(text));

    [Fact]
    public void Every_kind_has_one_name_that_reads_back()
    {
        Assert.Equal(Enum.GetValues<FaultKind>().Length, RigFault.Names.Count);
        Assert.All(Enum.GetValues<FaultKind>(), kind => Assert.Equal(kind, RigFault.Parse(new RigFault(kind, 0).Name).Kind));
    }
}
