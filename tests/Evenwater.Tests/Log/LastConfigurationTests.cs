using Evenwater.Core;
using Evenwater.Keeping;
using Evenwater.Log;

namespace Evenwater.Tests.Log;

/// <summary>A configuration that was used before has its old number: the last one is the one that was used last, not the one that was made last.</summary>
public sealed class LastConfigurationTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(EntryKind.Cycle)]
    [InlineData(EntryKind.Event)]
    public void A_limit_that_was_put_back_is_the_one_that_the_tank_is_held_against(object kind)
    {
        using var log = _folder.Open();
        var boot = log.StartBoot("test", simulated: false);
        var second = 0;
        foreach (var most in new[] { 26.0, 28, 26, 28 })
        {
            var station = LogFolder.Station("tank") with { Tank = new() { MaxCelsius = most } };
            var (configuration, at) = (log.Configure(station), MonotonicTime.FromSeconds(++second));
            log.Append(new Entry
            {
                BootId = boot, ConfigurationId = configuration, Station = "tank", At = at, Wall = LogFolder.Evening.AddSeconds(second), ClockQuality = ClockQuality.Synced,
                Kind = (EntryKind)kind, Samples = (EntryKind)kind == EntryKind.Cycle ? RawSamples.None() : null, Body = LogJson.Write(new EventBody("test", "x")),
            });
            new Night(log, "sim-river").Cycle(); // another station's is none of its own
            log.Flush();
            using var reader = new SpanReader(_folder.Path, 1);
            Assert.Equal(most, reader.LastConfiguration("tank")!.Value.Station.Tank.MaxCelsius);
            Assert.Equal(most, TankHistory.Read(_folder.Path, "tank", TimeZoneInfo.Utc, LogFolder.Evening.AddMinutes(1)).Station.Tank.MaxCelsius);
        }
    }

    [Fact]
    public void One_that_nothing_was_read_by_yet_is_told_and_of_a_stranger_none()
    {
        using var log = _folder.Open();
        log.Configure(LogFolder.Station("tank") with { Tank = new() { MaxCelsius = 26 } });
        using var reader = new SpanReader(_folder.Path, 1);
        Assert.Equal(26, reader.LastConfiguration("tank")!.Value.Station.Tank.MaxCelsius);
        Assert.Null(reader.LastConfiguration("lagoon"));
    }
}
