using Evenwater.Core.Telling;

namespace Evenwater.CoreTests.Telling;

public class HowManyTests
{
    [Theory]
    [InlineData(0, "0 hours", "0 entries", "0 times")]
    [InlineData(1, "1 hour", "1 entry", "once")]
    [InlineData(2, "2 hours", "2 entries", "2 times")]
    public void One_is_told_as_one(long count, string hours, string entries, string times) =>
        Assert.Equal((hours, entries, times), (HowMany.Of(count, "hour"), HowMany.Of(count, "entry", "entries"), HowMany.Times(count)));
}
