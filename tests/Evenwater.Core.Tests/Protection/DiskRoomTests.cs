namespace Evenwater.CoreTests.Protection;

/// <summary>The limits are common practice, no source; that a value between two limits keeps what it was is a deadband's definition (ISA-18.2).</summary>
public sealed class DiskRoomTests
{
    [Theory]
    [InlineData(200e6, DiskRoom.Plenty, DiskRoom.Plenty)]
    [InlineData(199.9e6, DiskRoom.Plenty, DiskRoom.Short)]
    [InlineData(239.9e6, DiskRoom.Short, DiskRoom.Short)]
    [InlineData(240e6, DiskRoom.Short, DiskRoom.Plenty)]
    [InlineData(50e6, DiskRoom.Short, DiskRoom.Short)]
    [InlineData(49.9e6, DiskRoom.Short, DiskRoom.NearlyFull)]
    [InlineData(49.9e6, DiskRoom.Plenty, DiskRoom.NearlyFull)]
    [InlineData(59.9e6, DiskRoom.NearlyFull, DiskRoom.NearlyFull)]
    [InlineData(60e6, DiskRoom.NearlyFull, DiskRoom.Short)]
    [InlineData(240e6, DiskRoom.NearlyFull, DiskRoom.Plenty)]
    [InlineData(0, DiskRoom.Plenty, DiskRoom.NearlyFull)]
    public void It_is_short_below_a_limit_and_until_a_fifth_above_it(double freeBytes, DiskRoom was, DiskRoom becomes) =>
        Assert.Equal(becomes, DiskRooms.Of((long)freeBytes, was));
}
