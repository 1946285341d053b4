using Evenwater.Watch;

namespace Evenwater.Tests.Watch;

/// <summary>When systemd is told that all is well. Time is given, so hours take no time.</summary>
public sealed class SupervisorTests
{
    private static readonly TimeSpan Every = TimeSpan.FromSeconds(0.5);

    private readonly Heartbeat _heartbeat = new();
    private readonly Dictionary<string, Beat> _beats = [];
    private TimeSpan _now;

    private Supervisor Live(Supervisor? supervisor = null)
    {
        _beats["cycle"] = _heartbeat.WatchCycle("s", TimeSpan.FromSeconds(3), 40);
        _beats["guard"] = _heartbeat.Watch("s guard", TimeSpan.FromSeconds(3), 40);
        _beats["pulses"] = _heartbeat.Watch("s pulses", TimeSpan.FromSeconds(3), 40);
        _beats["probes"] = _heartbeat.Watch("s probes", TimeSpan.FromSeconds(20), 3);
        return supervisor ?? new Supervisor(_heartbeat, ["s"], Every);
    }

    /// <summary>Lets time pass in looks of half a second; every task takes its turns (20, 20, 1, 1 a second) but the one named. What was told.</summary>
    private List<string> Pass(Supervisor supervisor, double seconds, string? without = null, int timesAsMany = 1)
    {
        var told = new List<string>();
        for (var half = 0; half < seconds * 2; half++)
        {
            _now += Every;
            foreach (var (task, beat) in _beats)
            {
                var turns = (task is "guard" or "pulses" ? 10 : half % 2) * (task == without ? timesAsMany - 1 : 1);
                for (var i = 0; i < turns; i++)
                {
                    beat.Turn();
                }
            }

            if (supervisor.Look(_now) is { } text)
            {
                told.Add(text);
            }
        }

        return told;
    }

    /// <summary>A run of weeks is gone through for minutes; systemd gives a minute, and one more from each time that it is asked (sd_notify(3)).</summary>
    [Fact]
    public void A_long_start_asks_for_more_time_while_it_goes_on_and_no_longer()
    {
        var supervisor = new Supervisor(_heartbeat, ["s"], Every);
        var told = new List<(double At, string Text)>();
        for (var tenth = 0; tenth < 3000; tenth++)
        {
            _now = TimeSpan.FromSeconds(tenth / 10.0);
            if (_now < TimeSpan.FromSeconds(200)) // then it hangs
            {
                _heartbeat.Start.Turn();
            }

            if (supervisor.Look(_now) is { } text)
            {
                told.Add((_now.TotalSeconds, text));
            }
        }

        Assert.All(told, one => Assert.Equal("EXTEND_TIMEOUT_USEC=60000000", one.Text));
        Assert.InRange(told[0].At, 5, 30); // well before the first minute is over
        Assert.All(told.Zip(told.Skip(1)), pair => Assert.InRange(pair.Second.At - pair.First.At, 5, 30));
        Assert.InRange(told[^1].At, 190, 210);
        Assert.Equal("READY=1\nWATCHDOG=1", Pass(Live(supervisor), 3)[0]);
        _heartbeat.Start.Turn();
        Assert.DoesNotContain(Pass(supervisor, 30, without: "cycle"), text => text.Contains("EXTEND", StringComparison.Ordinal));
    }

    [Fact]
    public void Ready_is_told_once_and_then_every_look_feeds()
    {
        var told = Pass(Live(), 10);
        Assert.Equal("READY=1\nWATCHDOG=1", told[0]);
        Assert.All(told.Skip(1), text => Assert.Equal("WATCHDOG=1", text));
        Assert.InRange(told.Count, 19, 20);
    }

    [Theory]
    [InlineData("cycle")]
    [InlineData("guard")]
    [InlineData("pulses")]
    [InlineData("probes")]
    public void Never_ready_while_one_task_has_not_completed_a_turn(string task)
    {
        var supervisor = Live();
        Assert.Empty(Pass(supervisor, 60, without: task));
        Assert.Contains(supervisor.Troubles, t => t.StartsWith($"'s {task}'", StringComparison.Ordinal));
    }

    [Fact]
    public void Never_ready_before_every_station_has_cycled()
    {
        Live();
        var two = new Supervisor(_heartbeat, ["s", "second"], Every);
        Assert.Empty(Pass(two, 10));
        Assert.Equal(["'second cycle' has not begun yet"], two.Troubles);
    }

    [Theory]
    [InlineData("cycle", 3)]
    [InlineData("guard", 3)]
    [InlineData("pulses", 3)]
    [InlineData("probes", 20)]
    public void A_task_that_stands_still_stops_the_feeding_after_its_own_silence_and_not_before(string task, int silence)
    {
        var supervisor = Live();
        Pass(supervisor, 10);
        Assert.InRange(Pass(supervisor, silence, without: task).Count, (silence * 2) - 2, silence * 2);
        Pass(supervisor, 1, without: task);
        Assert.Empty(Pass(supervisor, 3600, without: task));
        Assert.Contains($"'s {task}' has stood still for 36", supervisor.Troubles[0], StringComparison.Ordinal);
        Assert.NotEmpty(Pass(supervisor, 2));
    }

    [Theory]
    [InlineData("cycle")]
    [InlineData("guard")]
    [InlineData("pulses")]
    [InlineData("probes")]
    public void A_task_that_spins_stops_the_feeding(string task)
    {
        var supervisor = Live();
        Pass(supervisor, 10);
        Pass(supervisor, 2, without: task, timesAsMany: 101); // until a whole window has seen it
        Assert.Empty(Pass(supervisor, 10, without: task, timesAsMany: 101));
        Assert.Contains($"'s {task}' spins", supervisor.Troubles[0], StringComparison.Ordinal);
        Pass(supervisor, 2);
        Assert.NotEmpty(Pass(supervisor, 1));
    }

    [Fact]
    public void A_look_that_comes_too_soon_tells_nothing()
    {
        var supervisor = Live();
        Pass(supervisor, 10);
        for (var i = 0; i < 1000; i++)
        {
            _now += TimeSpan.FromMilliseconds(0.2);
            Assert.Null(supervisor.Look(_now));
        }

        Assert.NotEmpty(Pass(supervisor, 1));
    }

    [Fact]
    public void A_pause_of_the_whole_process_is_no_spin_afterwards()
    {
        var supervisor = Live();
        Pass(supervisor, 10);
        _now += TimeSpan.FromSeconds(2.5);
        Assert.NotEmpty(Pass(supervisor, 1));
    }
}
