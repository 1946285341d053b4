using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Review;
using Evenwater.Keeping;
using Evenwater.Page.Looking;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>What the demo has to look back at is found by looking back, and nothing else is.</summary>
public sealed class DemoPastTests : IDisposable
{
    private static readonly DateTimeOffset s_end = new(2026, 11, 28, 20, 0, 0, TimeSpan.Zero);
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Three_things_happened_in_it_and_each_is_told_with_its_cause()
    {
        DemoPast.Write(_folder.Path, DemoStation.Read(), s_end, "test");
        var back = LookBack.Read(_folder.Path, "sim-river", (s_end.AddDays(-DemoPast.Days), s_end), TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        Assert.Equal(["n1", "n2"], back.Happened.Notes.Select(note => note.Id));
        Assert.Equal(3, back.Episodes.Count);
        Assert.Equal(
            [Cause.Dose, Cause.WaterChange, Cause.HeaterSchedule],
            back.Episodes.Select(episode => Causes.Of(episode, back.Courses, back.Happened)[0].Cause));
        DateTimeOffset[] truly = [DemoPast.DosedAt(s_end), DemoPast.ChangedAt(s_end), DemoPast.LoweredAt(s_end)];
        Assert.All(back.Episodes.Zip(truly), pair => Assert.Equal(pair.Second, back.Courses[Channel.TankTemperature].At(pair.First.At), TimeSpan.FromMinutes(30)));
        Assert.Equal(0.25, back.Courses[Channel.TankConductivity].UsualPerDay, 0.05);
    }

    [Fact] // The warmth goes down over a day, and is found in pieces.
    public void What_came_slowly_is_told_from_where_it_was_to_how_far_it_came_and_since_when()
    {
        DemoPast.Write(_folder.Path, DemoStation.Read(), s_end, "test");
        var span = (s_end.AddDays(-4), s_end);
        var back = LookBack.Read(_folder.Path, "sim-river", span, TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        Assert.True(Assert.Single(back.Episodes).Swings.Count > 1);
        var told = Assert.Single(SwingsMade.Of(back, span, null, TimeZoneInfo.Utc).Episodes);
        Assert.Equal(DemoPast.LoweredAt(s_end), told.At, TimeSpan.FromMinutes(30));
        Assert.InRange(DemoPast.LoweredAt(s_end), told.Earliest, told.Latest);
        var warmth = Assert.Single(told.Channels);
        Assert.InRange(warmth.Before!.Value - warmth.After!.Value, 0.6, 0.8);
        Assert.Matches(@"^2026-11-25 1[45]:\d\d  temperature -0\.[67]\d? °C$", LookBackText.Of(back, null, TimeZoneInfo.Utc).First());
    }

    [Fact] // The night that follows is no swing by itself: its probes are those of the past, and those of the nights after it.
    public void It_ends_with_what_the_first_night_s_probes_read()
    {
        var station = DemoStation.Read();
        DemoPast.Write(_folder.Path, station, s_end, "test");
        var back = LookBack.Read(_folder.Path, "sim-river", (s_end.AddDays(-1), s_end), TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        var (salt, warmth) = Read(SimulatedNights.FirstSeed);
        Assert.Equal(salt, Last(Channel.TankConductivity), 0.002 * salt);
        Assert.Equal(warmth, Last(Channel.TankTemperature), 0.04);
        var (later, laterWarmth) = Read(7);
        Assert.Equal(salt, later, 0.003 * salt);
        Assert.Equal(warmth, laterWarmth, 0.03);
        Assert.InRange(Math.Abs(warmth - DemoPast.AsRead(station, new(station, 7, [])).Celsius), 0.05, 1);

        double Last(Channel channel) => back.Courses[channel].Seen.TakeLast(8).Average()!.Value;
        (double, double) Read(ulong seed) => DemoPast.AsRead(station, new(station, seed, [], probesOf: SimulatedNights.FirstSeed));
    }
}
