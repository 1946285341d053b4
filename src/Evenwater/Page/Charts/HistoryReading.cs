using Evenwater.Core;
using Evenwater.Core.Charting;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Log.Summaries;
using Microsoft.Data.Sqlite;

namespace Evenwater.Page.Charts;

/// <summary>Reads the past out of the log, each time on connections of its own. To be called inside the gate for long readings.</summary>
/// <param name="folder">The log's folder.</param>
internal sealed class HistoryReading(string folder)
{
    /// <summary>Longer spans are not asked for their clock's doubts: each block of an hour would have to be looked at.</summary>
    public const double MostDoubtDays = 62;

    /// <summary>The channels that a station has probes for, as it was configured last; none when the log does not know it yet, or can not be read, which whoever reads on is told in words.</summary>
    public IReadOnlyList<Channel> Fitted(string station)
    {
        try
        {
            using var reader = new SpanReader(folder, KeptLog.BusySeconds);
            return reader.LastConfiguration(station) is { } configured ? FittedChannels.Of(configured.Station) : [];
        }
        catch (SqliteException)
        {
            return [];
        }
    }

    /// <summary>The stations that are in the log and not on the board; none while the log can not be read, which whoever reads on is told in words.</summary>
    public IReadOnlyList<GoneStation> Gone(StationBoard board)
    {
        try
        {
            using var reader = new SpanReader(folder, KeptLog.BusySeconds);
            return
            [
                .. from station in reader.Stations()
                   where board.Find(station) is null
                   let last = reader.LastRead(station)
                   where last is not null
                   let configured = reader.LastConfiguration(station)
                   select new GoneStation(station, last.Value, configured is { } known ? FittedChannels.Of(known.Station) : []),
            ];
        }
        catch (SqliteException)
        {
            return [];
        }
    }

    /// <summary>All that was asked for.</summary>
    /// <param name="ask">What.</param>
    /// <param name="marks">Whether what happened meanwhile is wanted too.</param>
    /// <param name="stop">Calls it off.</param>
    public HistoryData Read(HistoryAsk ask, bool marks, CancellationToken stop)
    {
        using var history = new History(folder, KeptLog.BusySeconds);
        var (axis, source) = (default(TimeAxis), "");
        List<HistoryLine> lines = [];
        foreach (var (begins, compared) in Spans(ask))
        {
            // The log counts in whole milliseconds: by a beginning that lies between two of them every stretch would be put into the one before it.
            var from = DateTimeOffset.FromUnixTimeMilliseconds(begins.ToUnixTimeMilliseconds());
            Dictionary<ChannelAt, HistoryLine> read = [];
            foreach (var station in ask.Channels.GroupBy(channel => channel.Station))
            {
                var past = history.Read(station.Key, [.. station.Select(one => one.Channel)], from, from + (ask.To - ask.From), ask.Points, stop);
                axis = AxisOf(ask, past.StepMs);
                source = past.Source;
                foreach (var one in station)
                {
                    var bins = past.Series[one.Channel].Select(bucket => (DateTimeOffset.FromUnixTimeMilliseconds(bucket.StartMs), BinOf(bucket)));
                    read.Add(one, new(one, compared, ChartLine.Of(axis.Moved(from), ask.Now, bins, ask.Waits)));
                }
            }

            lines.AddRange(ask.Channels.Select(channel => read[channel]));
        }

        using var beside = new SpanReader(folder, KeptLog.BusySeconds);
        IReadOnlyList<ClockDoubt> doubts = (ask.To - ask.From).TotalDays > MostDoubtDays ? [] : [.. Doubts(beside, ask)];
        stop.ThrowIfCancellationRequested();
        var (marked, leftOut) = marks ? HistoryMarks.Of(beside, folder, ask, stop) : ([], 0);
        return new(ask, axis, source, lines, doubts, marked, leftOut, history.Damaged + beside.Damaged);
    }

    /// <summary>A channel by hours, for its course over the day; the last of the span when it is longer than that can be read.</summary>
    public ChartLine Hours(HistoryAsk ask, ChannelAt channel, CancellationToken stop)
    {
        const int MostHours = 20_000;
        using var history = new History(folder, KeptLog.BusySeconds);
        var hour = TimeSpan.FromHours(1).Ticks;
        // Full hours of the place, which may be half an hour off the world's.
        var end = TimeZoneInfo.ConvertTime(ask.To, ask.Zone);
        var to = end.AddTicks(-(end.Ticks % hour));
        var count = (int)Math.Min(MostHours, Math.Max(1, (to - ask.From).Ticks / hour));
        var axis = new TimeAxis(to.AddHours(-count), TimeSpan.FromHours(1), count);
        var past = history.Read(channel.Station, [channel.Channel], axis.From, axis.To, count, stop);
        return ChartLine.Of(axis, ask.Now, past.Series[channel.Channel].Select(bucket => (DateTimeOffset.FromUnixTimeMilliseconds(bucket.StartMs), BinOf(bucket))));
    }

    private static IEnumerable<ClockDoubt> Doubts(SpanReader beside, HistoryAsk ask) =>
        from span in Spans(ask)
        from station in ask.Channels.Select(channel => channel.Station).Distinct()
        from doubt in beside.Doubted(station, span.From, span.From + (ask.To - ask.From))
        select new ClockDoubt(station, doubt.From, doubt.To, doubt.Quality == ClockQuality.Restored);

    private static IEnumerable<(DateTimeOffset From, bool Compared)> Spans(HistoryAsk ask) =>
        ask.Compared is { } compared ? [(ask.From, false), (compared, true)] : [(ask.From, false)];

    private static TimeAxis AxisOf(HistoryAsk ask, long stepMs)
    {
        var span = ask.To.ToUnixTimeMilliseconds() - ask.From.ToUnixTimeMilliseconds();
        return new(DateTimeOffset.FromUnixTimeMilliseconds(ask.From.ToUnixTimeMilliseconds()), TimeSpan.FromMilliseconds(stepMs), (int)((span + stepMs - 1) / stepMs));
    }

    private static Bin BinOf(in Bucket bucket) => new(bucket.Count, bucket.Min, bucket.Mean, bucket.Max, bucket.Last);
}
