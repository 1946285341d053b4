using Evenwater.Watch;

namespace Evenwater.Tests.Watch;

public class SilenceTests
{
    private static readonly TimeSpan Limit = TimeSpan.FromMinutes(10);

    private readonly Silence _silence = new(Limit, TimeSpan.FromMinutes(1));

    [Fact]
    public void A_station_that_is_never_heard_is_silent_too_and_is_told_once()
    {
        _silence.Know("river", TimeSpan.Zero);
        Assert.Empty(_silence.Due(Limit - TimeSpan.FromSeconds(1)));
        Assert.Equal([("river", true)], _silence.Due(Limit));
        _silence.Told("river", true, Limit);
        Assert.Empty(_silence.Due(Limit * 100));
    }

    [Fact]
    public void One_that_speaks_is_cleared_however_long_ago_it_was_told()
    {
        _silence.Told("river", true, TimeSpan.Zero);
        Assert.Empty(_silence.Due(TimeSpan.FromSeconds(1)));
        _silence.Know("river", TimeSpan.FromSeconds(2));
        Assert.Empty(_silence.Due(TimeSpan.FromSeconds(3)));
        _silence.Heard("river", TimeSpan.FromHours(5));
        Assert.Equal([("river", false)], _silence.Due(TimeSpan.FromHours(5)));
        _silence.Told("river", false, TimeSpan.FromHours(5));
        Assert.Empty(_silence.Due(TimeSpan.FromHours(5)));
        Assert.Equal([("river", true)], _silence.Due(TimeSpan.FromHours(5) + Limit));
    }

    [Fact]
    public void After_a_connection_the_daemon_has_a_minute_to_find_the_broker_too()
    {
        _silence.Know("river", TimeSpan.Zero);
        _silence.Connected(Limit * 2);
        Assert.Empty(_silence.Due((Limit * 2) + TimeSpan.FromSeconds(59)));
        Assert.Equal([("river", true)], _silence.Due((Limit * 2) + TimeSpan.FromSeconds(60)));
    }

    [Fact]
    public void A_broker_that_came_back_without_the_alarm_is_told_again_and_one_that_kept_it_is_not()
    {
        _silence.Know("river", TimeSpan.Zero);
        _silence.Told("river", true, Limit);
        _silence.Connected(Limit * 2);
        Assert.Equal([("river", true)], _silence.Due(Limit * 3));
        _silence.Told("river", true, Limit * 3);
        Assert.Empty(_silence.Due(Limit * 4));
    }
}
