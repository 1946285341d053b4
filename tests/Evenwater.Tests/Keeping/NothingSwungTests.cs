using Evenwater.Keeping;

namespace Evenwater.Tests.Keeping;

/// <summary>That nothing swung is said only of what was measured and is known, and what is not known yet is told.</summary>
public sealed class NothingSwungTests
{
    [Theory]
    [InlineData(336, 336, "Nothing swung last week: conductivity and temperature moved no more than they do by themselves.")]
    [InlineData(303, 336, "Nothing swung last week: conductivity and temperature moved no more than they do by themselves.")]
    [InlineData(302, 336, "Nothing swung in what was measured last week: conductivity for 302 h and temperature for 336 h of 336 h.")]
    public void It_tells_of_how_much_it_is_said(double conductivity, double temperature, string expected) =>
        Assert.Equal(expected, LookBackText.Nothing([new("conductivity", conductivity, true, true), new("temperature", temperature, true, true)], 336, "last week"));

    [Fact]
    public void Of_a_channel_that_is_not_known_yet_nothing_is_said()
    {
        ReadChannel[] both = [new("conductivity", 30, false, false), new("temperature", 336, true, true)];
        Assert.Equal("Nothing swung in what was measured last week: temperature for 336 h of 336 h.", LookBackText.Nothing(both, 336, "last week"));
        Assert.Equal(["Of conductivity nothing is told yet: what it does by itself is known only once measured for 32 h on end."], LookBackText.Early(both));
    }

    [Fact]
    public void While_none_is_known_it_can_not_be_told()
    {
        ReadChannel[] both = [new("conductivity", 0.25, false, false), new("temperature", 7.5, false, false)];
        Assert.Equal("Can't tell whether anything swung last week: 7.5 h of it were measured.", LookBackText.Nothing(both, 336, "last week"));
        Assert.Equal(["Of conductivity and temperature nothing is told yet: what they do by themselves is known only once measured for 32 h on end."], LookBackText.Early(both));
    }

    [Fact]
    public void Of_a_channel_whose_day_is_not_known_yet_it_is_told_why_a_swing_may_be_none() =>
        Assert.StartsWith("Of light not every hour of the day was measured on 5 days yet", Assert.Single(LookBackText.Early([new("conductivity", 40, true, true), new("light", 40, false, false)])), StringComparison.Ordinal);

    [Fact]
    public void When_all_is_known_nothing_more_is_told() => Assert.Empty(LookBackText.Early([new("conductivity", 336, true, true)]));

    [Fact]
    public void One_channel_alone_is_told_in_the_singular() =>
        Assert.Equal("Nothing swung today: light moved no more than it does by itself.", LookBackText.Nothing([new("light", 24, true, true)], 24, "today"));
}
