using Evenwater.Running;

namespace Evenwater.Tests.Running;

public class SweeperTests
{
    [Fact]
    public void It_sweeps_once_enough_was_made_and_what_nobody_holds_is_gone()
    {
        using var sweeper = new Sweeper();
        _ = sweeper.Look(); // all that was made before
        var gone = Litter();
        Assert.True(sweeper.Look());
        Assert.False(gone.IsAlive);
    }

    /// <summary>In a method of its own, so that nothing on the stack holds it.</summary>
    [System.Runtime.CompilerServices.MethodImpl(System.Runtime.CompilerServices.MethodImplOptions.NoInlining)]
    private static WeakReference Litter()
    {
        var first = new WeakReference(new byte[1024]);
        for (var made = 0L; made <= Sweeper.Every; made += 16 * 1024) GC.KeepAlive(new byte[16 * 1024]);
        return first;
    }
}
