using Evenwater.Watch;

namespace Evenwater.Tests.Watch;

/// <summary>What the service sees of a unit that was edited wrongly. tests/systemd has the same with a real one.</summary>
public sealed class UnitSeenTests
{
    private static IReadOnlyList<string> Seen(string? notify = "/run/systemd/notify", string? watchdog = "2000000", string? runtime = "/run/evenwater", string? main = "77") =>
        UnitSeen.Problems(
            name => name switch { "NOTIFY_SOCKET" => notify, "WATCHDOG_USEC" => watchdog, "RUNTIME_DIRECTORY" => runtime, "SYSTEMD_EXEC_PID" => main, _ => null }, 77);

    [Fact]
    public void The_shipped_unit_has_no_problem() => Assert.Empty(Seen());

    [Fact]
    public void Without_notify_watchdog_or_folder_each_is_told_by_its_key()
    {
        Assert.Contains("Type=notify", Assert.Single(Seen(notify: null, watchdog: null)), StringComparison.Ordinal);
        Assert.Contains("WatchdogSec=0 s, allowed is above 0, to 3 s", Assert.Single(Seen(watchdog: null)), StringComparison.Ordinal);
        Assert.Contains("WatchdogSec=10 s", Assert.Single(Seen(watchdog: "10000000")), StringComparison.Ordinal);
        Assert.Contains("RuntimeDirectory=", Assert.Single(Seen(runtime: "")), StringComparison.Ordinal);
        Assert.Equal(2, Seen(notify: null, runtime: null).Count);
    }

    [Fact]
    public void Nothing_is_said_where_no_unit_started_this_program()
    {
        Assert.Empty(Seen(notify: null, watchdog: null, runtime: null, main: null));
        Assert.Empty(Seen(notify: null, watchdog: null, runtime: null, main: "78"));
    }
}
