using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using Evenwater.Core.Standing;
using Evenwater.Log;

namespace Evenwater.Keeping;

/// <summary>A tank looked back at: its courses, what swung, and what is known to have happened.</summary>
/// <param name="Station">Its name.</param>
/// <param name="Courses">Each channel of the tank that was read.</param>
/// <param name="Episodes">In order of time.</param>
/// <param name="Happened">The book and what the station file tells of the tank.</param>
internal sealed record LookBack(string Station, IReadOnlyDictionary<Channel, Course> Courses, IReadOnlyList<Episode> Episodes, Happened Happened)
{
    /// <summary>So much before the span is read too, days: a daily course needs a week or two, and its own restlessness as well.</summary>
    public const int DaysBefore = 28;

    /// <summary>How many rows of the log could not be read any more, and were passed over.</summary>
    public int DamagedRows { get; init; }

    /// <summary>Whether the station's last configuration could not be read any more, and an earlier one was taken.</summary>
    public bool FormerConfiguration { get; init; }

    private static readonly TimeSpan Week = TimeSpan.FromDays(7);

    /// <summary>Of a station's log.</summary>
    /// <param name="folder">The log's folder.</param>
    /// <param name="station">Its name, as it stands in the log.</param>
    /// <param name="span">What is asked for; more is read before it.</param>
    /// <param name="zone">The keeper's time zone.</param>
    /// <param name="stop">Calls it off.</param>
    public static LookBack Read(string folder, string station, (DateTimeOffset From, DateTimeOffset To) span, TimeZoneInfo zone, CancellationToken stop = default)
    {
        using var reader = new LogReader(folder, KeptLog.BusySeconds);
        using var history = new History(folder, KeptLog.BusySeconds);
        var (configured, former) = KeptLog.LastConfiguration(folder, station);
        // Buckets stand on the quarter.
        var from = new DateTimeOffset(span.From.UtcTicks - (span.From.UtcTicks % TimeSpan.FromMinutes(15).Ticks), TimeSpan.Zero).AddDays(-DaysBefore);
        var quarters = Math.Max(1, (int)Math.Ceiling((span.To - from).TotalMinutes / 15));
        var to = from.AddMinutes(15 * quarters);
        var courses = TankHistory.Channels.ToDictionary(channel => channel, channel => Course.Of(channel, Minutes(history, station, channel, from, to, stop), from, to, zone))
            .Where(course => course.Value.Seen.Any(seen => seen is not null)).ToDictionary();
        using var spans = new SpanReader(folder, KeptLog.BusySeconds);
        Note[] notes = [.. Books.Of(reader, station).Standing];
        var happened = new Happened
        {
            TankLitres = configured.Source.VolumeLitres,
            RoomCelsius = configured.Room.TemperatureCelsius,
            NewMicrosiemensPerCm = configured.Source.NewWaterMicrosiemensPerCm,
            NewCelsius = configured.Source.NewWaterCelsius,
            Notes = notes,
            Runs = TankRuns.Of(spans, station, (from, to), configured.Source.AutomaticTopOff),
            Calibrations = [.. notes.Where(note => note.At is not null).SelectMany(note => CalibrationStep.Of(note, Before(courses.GetValueOrDefault(Channel.TankConductivity), note.At!.Value)))],
        };
        stop.ThrowIfCancellationRequested();
        var episodes = Episode.Of(courses, happened).Where(episode => courses.Values.First().At(episode.Until) >= span.From).ToList();
        return new(station, courses, episodes, happened) { DamagedRows = history.Damaged + spans.Damaged, FormerConfiguration = former };
    }

    /// <summary>What a station calls now: a simulated one goes by its own last cycle, as its tank does.</summary>
    public static DateTimeOffset Now(string folder, string station, DateTimeOffset clock)
    {
        using var reader = new LogReader(folder, KeptLog.BusySeconds);
        return OwnNow.Of(reader, station, clock);
    }

    /// <summary>Minute by minute, read a week at a time: six weeks of a channel at once would be megabytes.</summary>
    private static IEnumerable<Stretch> Minutes(History history, string station, Channel channel, DateTimeOffset from, DateTimeOffset to, CancellationToken stop)
    {
        for (var at = from; at < to; at += Week)
        {
            var end = at + Week < to ? at + Week : to;
            var past = history.Read(station, [channel], at, end, (int)(end - at).TotalMinutes, stop);
            var length = TimeSpan.FromMilliseconds(past.StepMs);
            foreach (var bucket in past.Series[channel]) yield return new Stretch(DateTimeOffset.FromUnixTimeMilliseconds(bucket.StartMs), length, bucket.Mean);
        }
    }

    private static double? Before(Course? course, DateTimeOffset at) =>
        course?.Seen.Take(Math.Clamp(course.PointOf(at), 0, course.Count)).LastOrDefault(value => value is > 0);
}
