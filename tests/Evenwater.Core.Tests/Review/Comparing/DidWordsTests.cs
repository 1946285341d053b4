using Evenwater.Core.Review.Comparing;

namespace Evenwater.CoreTests.Review.Comparing;

/// <summary>A level is rounded so that a difference that matters can be read from two of them, and its uncertainty to the same place, up (JCGM 100:2008, 7.2.6, from memory).</summary>
public class DidWordsTests
{
    [Theory]
    [InlineData(Channel.TankConductivity, 183.49, 0.05, "183.5 ± 0.1")]
    [InlineData(Channel.TankConductivity, 183.28, 0.1, "183.3 ± 0.1")]
    [InlineData(Channel.TankConductivity, 53065, 12.2, "53065 ± 13")]
    [InlineData(Channel.TankTemperature, 24.803, 0.012, "24.80 ± 0.02")]
    [InlineData(Channel.TankLight, 1240.2, 0, "1240 ± 0")]
    public void A_level_and_its_half_width_end_at_the_same_place(Channel channel, double level, double halfWidth, string expected) =>
        Assert.Equal(expected, DidWords.SayLevel(channel, level, halfWidth));

    [Theory]
    [InlineData(40, 8, "Of 40 other days on which nothing was done, 8 show as large a difference: 1 in 5 such days.")]
    [InlineData(70, 1, "Of 70 other days on which nothing was done, 1 shows as large a difference: 1 in 70 such days.")]
    public void Days_are_counted_whole(int days, int asLarge, string told) => Assert.Equal(told, DidWords.OtherDays(new OtherDays(days, asLarge, 5)));
}
