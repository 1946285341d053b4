using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Protection;

/// <summary>Switches at 20 Hz with 100 ms of debounce: common practice, no source.</summary>
public class DebounceTests
{
    private Debounce _debounce;
    private double _t;

    [Fact]
    public void Nothing_is_known_until_a_level_has_lasted()
    {
        Assert.Equal(Reason.NoAnswer, Poll(0).Reason);
        Assert.Equal(Reason.NoAnswer, Poll(0).Reason);
        Assert.Equal(0, Poll(0).Code);
        Assert.Equal(Reason.None, Poll(0).Reason);
    }

    [Fact]
    public void A_wave_shorter_than_the_debounce_is_not_seen_and_a_longer_one_is_seen_at_once()
    {
        Settle(0);
        Assert.Equal([0, 0, 0, 0], new[] { Poll(1).Code, Poll(1).Code, Poll(0).Code, Poll(0).Code });
        Assert.Equal([0, 0, 1, 1], new[] { Poll(1).Code, Poll(1).Code, Poll(1).Code, Poll(1).Code });
    }

    [Fact]
    public void A_lost_switch_is_unknown_again()
    {
        Settle(0);
        _t += 0.05;
        Assert.Equal(Reason.NoAnswer, _debounce.Update(RawSample.Missing(Reason.NoAnswer, MonotonicTime.FromSeconds(_t)), 0.1).Reason);
        Assert.Equal(Reason.NoAnswer, Poll(0).Reason);
    }

    private void Settle(int level)
    {
        for (var i = 0; i < 4; i++)
        {
            Poll(level);
        }
    }

    private RawSample Poll(int level)
    {
        _t += 0.05;
        return _debounce.Update(RawSample.Of(level, MonotonicTime.FromSeconds(_t)), 0.1);
    }
}
