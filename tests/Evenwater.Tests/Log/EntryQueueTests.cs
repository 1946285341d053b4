using Evenwater.Core;
using Evenwater.Log;

namespace Evenwater.Tests.Log;

/// <summary>What is kept when the disk fails for hours.</summary>
public class EntryQueueTests
{
    /// <summary>There are two of them each half minute, and they fill a night's queue by morning.</summary>
    [Fact]
    public void Forecasts_and_sentences_leave_room_for_a_note_and_a_trip()
    {
        var queue = new EntryQueue(maxCycles: 10, maxOthers: 8, lastId: 0);
        var kept = Enumerable.Range(0, 40).Count(i => queue.Add(Of(i % 2 == 0 ? EntryKind.Forecast : EntryKind.Say), i) > 0);
        Assert.Equal(4, kept);
        Assert.Equal([5, 6, 7, 8], new[] { EntryKind.Trip, EntryKind.Run, EntryKind.Alarm, EntryKind.Note }.Select(kind => queue.Add(Of(kind), 50)));
        Assert.Equal(0, queue.Add(Of(EntryKind.Note), 51));
        Assert.Equal(37, queue.DroppedEver);
        queue.Committed(queue.Snapshot(), 60);
        Assert.Equal("not-stored", LogJson.Read<EventBody>(Assert.Single(queue.Snapshot()).Body!).Name);
        Assert.True(queue.Add(Of(EntryKind.Forecast), 61) > 0);
    }

    [Theory]
    [InlineData(1, 1, "1 cycle and 1 other entry were not stored")]
    [InlineData(2, 0, "2 cycles and 0 other entries were not stored")]
    public void What_was_turned_away_is_counted_in_words(int cycles, int others, string told)
    {
        var queue = new EntryQueue(maxCycles: 1, maxOthers: 1, lastId: 0);
        for (var i = 0; i <= cycles; i++) queue.Add(Of(EntryKind.Cycle), i);
        for (var i = 0; i <= others; i++) queue.Add(Of(EntryKind.Note), i);
        queue.Committed(queue.Snapshot(), 60);
        Assert.StartsWith(told, LogJson.Read<EventBody>(Assert.Single(queue.Snapshot()).Body!).Text, StringComparison.Ordinal);
    }

    private static Entry Of(EntryKind kind) => new()
    {
        BootId = 1, ConfigurationId = 1, Station = "sim-river", At = MonotonicTime.FromSeconds(1), ClockQuality = ClockQuality.Simulated, Kind = kind,
    };
}
