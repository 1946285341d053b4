using Evenwater.Commands;

namespace Evenwater.Tests.Commands;

public class WhoAsksTests
{
    /// <summary>By the wrapper of systemd/install.md every note and every proof test had been of one and the same "evenwater".</summary>
    [Fact]
    public void Who_calls_the_program_by_sudo_is_named_and_not_the_user_that_it_runs_as()
    {
        Assert.Equal("ann", WhoAsks.Named("ann"));
        Assert.Equal(Environment.UserName, WhoAsks.Named(null));
        Assert.Equal(Environment.UserName, WhoAsks.Named(""));
    }
}
