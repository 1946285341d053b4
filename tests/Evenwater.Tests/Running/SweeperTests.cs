using Evenwater.Running;

namespace Evenwater.Tests.Running;

public class SweeperTests
{
    [Fact]
    public void It_sweeps_once_enough_was_made()
    {
        using var sweeper = new Sweeper();
        _ = sweeper.Look(); // all that was made before; what the threads have not told yet is left out of the count, so twice as much is made
        for (var made = 0L; made <= 2 * Sweeper.Every; made += 16 * 1024) GC.KeepAlive(new byte[16 * 1024]);
        var before = GC.CollectionCount(1);
        Assert.True(sweeper.Look());
        Assert.InRange(GC.CollectionCount(1), before + 1, int.MaxValue);
    }
}
