using Evenwater.Core.Pacing;

namespace Evenwater.CoreTests.Pacing;

/// <summary>One value's path, worked by hand.</summary>
public class PacedTrackTests
{
    private const double PerSecond = 0.5 / 3600; // half a degree an hour: 0.0417 °C in the five minutes within which it is there

    [Theory]
    [InlineData(23.03, PerSecond, true)] // a heater's switching
    [InlineData(22.97, PerSecond, true)]
    [InlineData(23.05, PerSecond, false)]
    [InlineData(22.95, PerSecond, false)]
    [InlineData(23.03, double.PositiveInfinity, false)] // only the whole way is limited
    public void Water_as_good_as_the_tanks_holds_nothing_back(double tank, double perSecond, bool behind)
    {
        var track = default(PacedTrack);
        Assert.False(track.IsBehind(0, PerSecond)); // nothing was read yet
        track.Step(23, 23, PerSecond, total: double.PositiveInfinity, share: 1e-4, open: false, seconds: 1, mostLeadSeconds: 600);
        Assert.Equal(behind, track.IsBehind(tank, perSecond));
    }
}
