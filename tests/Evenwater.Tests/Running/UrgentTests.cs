using System.Globalization;
using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>A thread that asks to go first does, where it may, and no other thread with it.</summary>
public sealed class UrgentTests
{
    [Fact]
    public void A_thread_that_asks_is_nicer_to_itself_alone_and_is_told_whether_it_may()
    {
        var (before, after, granted) = (0, 0, false);
        var thread = new Thread(() =>
        {
            before = Niceness();
            granted = Urgent.Ask();
            after = Niceness();
        });
        var own = Niceness();
        thread.Start();
        thread.Join();
        Assert.Equal(granted ? Urgent.Niceness : before, after);
        Assert.Equal(own, Niceness());
    }

    /// <summary>proc(5), stat: the 19th field is the niceness; the second, in brackets, may hold spaces.</summary>
    private static int Niceness()
    {
        var stat = File.ReadAllText("/proc/thread-self/stat");
        return int.Parse(stat[(stat.LastIndexOf(')') + 2)..].Split(' ')[16], CultureInfo.InvariantCulture);
    }
}
