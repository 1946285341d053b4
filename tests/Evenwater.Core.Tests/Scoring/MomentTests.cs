using Evenwater.Core.Estimation;
using Evenwater.Core.Scoring;

namespace Evenwater.CoreTests.Scoring;

public sealed class MomentTests
{
    private static readonly Quantiles Any = new(1, 2, 3, 4, 5);

    [Fact]
    public void The_latest_forecast_at_each_quarter_is_judged_and_counts_from_its_own_moment()
    {
        // A gap from 260 to 600: at 500 the forecast of 260 is the latest, 740 before the event.
        var calls = new[] { 30, 240, 260, 600, 749, 751 }.Select(s => new Call(s, Any, new Quantiles(s, s, s, s, s))).ToArray();
        var moments = Moment.Of(calls, 1000, c => c.Brim).ToArray();
        Assert.Equal([(25, 240.0, 760.0), (50, 260.0, 740.0), (75, 749.0, 251.0)], moments.Select(m => (m.Percent, m.Seconds, m.Truth)));
        Assert.Equal([240, 260, 749], moments.Select(m => m.Said.P50));
    }

    [Fact]
    public void An_event_that_never_came_and_a_moment_before_the_first_forecast_are_not_judged()
    {
        Call[] calls = [new(30, Any, Any)];
        Assert.Empty(Moment.Of(calls, null, c => c.Match));
        Assert.Equal([50, 75], Moment.Of(calls, 100, c => c.Match).Select(m => m.Percent));
        Assert.Empty(Moment.Of([], 100, c => c.Match));
    }
}
