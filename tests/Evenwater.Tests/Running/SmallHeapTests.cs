using Evenwater.Running;

namespace Evenwater.Tests.Running;

public sealed class SmallHeapTests
{
    [Fact]
    public void The_C_library_takes_the_options() => Assert.True(SmallHeap.Ask());
}
