using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>The end of several stations.</summary>
public class StoppingTests
{
    /// <summary>The first waits for a bus that does not answer, for two seconds at the most; the second's valve was open as long, and a fifth one's until the process was ended.</summary>
    [Fact]
    public void No_station_waits_for_another_to_be_let_go_and_one_that_breaks_keeps_none_open()
    {
        using var closed = new ManualResetEventSlim();
        var (inTime, broken) = (false, new List<string>());
        Stopping.All([new Station(() => inTime = closed.Wait(2000)), new Station(() => throw new IOException("gone")), new Station(closed.Set)], e => broken.Add(e.Message));
        Assert.True(inTime);
        Assert.Equal(["gone"], broken);
    }

    private sealed class Station(Action letGo) : IDisposable
    {
        public void Dispose() => letGo();
    }
}
