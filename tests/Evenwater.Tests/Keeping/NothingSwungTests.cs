using Evenwater.Keeping;

namespace Evenwater.Tests.Keeping;

/// <summary>That nothing swung is said only of what was measured.</summary>
public sealed class NothingSwungTests
{
    [Theory]
    [InlineData(336, 336, "Nothing swung last week: conductivity and temperature moved no more than they do by themselves.")]
    [InlineData(303, 336, "Nothing swung last week: conductivity and temperature moved no more than they do by themselves.")]
    [InlineData(302, 336, "Nothing swung in what was measured last week: conductivity for 302 h and temperature for 336 h of 336 h.")]
    [InlineData(0.25, 2, "Nothing swung in what was measured last week: conductivity for 0.25 h and temperature for 2 h of 336 h.")]
    [InlineData(0.25, 1.75, "Can't tell whether anything swung last week: 1.75 h of it were measured, and a swing shows from 2 h on.")]
    public void It_tells_of_how_much_it_is_said(double conductivity, double temperature, string expected) =>
        Assert.Equal(expected, LookBackText.Nothing([("conductivity", conductivity), ("temperature", temperature)], 336, "last week"));

    [Fact]
    public void One_channel_alone_is_told_in_the_singular() =>
        Assert.Equal("Nothing swung today: light moved no more than it does by itself.", LookBackText.Nothing([("light", 24)], 24, "today"));
}
