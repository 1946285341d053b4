using Evenwater.Core;
using Evenwater.Log.Blocks;
using Evenwater.Log.Summaries;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>What a station's channels were over a span, at most so many buckets a channel; in its own units.</summary>
/// <param name="StepMs">Length of a bucket, ms.</param>
/// <param name="Source">What it was made of: raw readings where the buckets are shorter than a minute, otherwise the coarsest summary that is not coarser than they.</param>
/// <param name="Series">The buckets of each channel in order; stretches without a reading have none.</param>
internal sealed record Past(long StepMs, string Source, IReadOnlyDictionary<Channel, IReadOnlyList<Bucket>> Series);

/// <summary>Reads the past, on a connection of its own: raw readings, blocks or summaries, whichever answer soonest.</summary>
internal sealed class History : IDisposable
{
    private readonly Lock _gate = new();
    private readonly SqliteConnection _connection;
    private readonly CycleReader _cycles;
    private readonly HashSet<string> _damaged = [];

    public History(string directory, int busySeconds = 2)
    {
        _connection = LogFile.OpenForReading(directory, busySeconds);
        _cycles = new CycleReader(_connection);
    }

    /// <summary>How many rows in or near what was read so far are no longer what was written; they are passed over.</summary>
    public int Damaged => _damaged.Count;

    /// <summary>The channels over the span.</summary>
    /// <param name="station">The station's name.</param>
    /// <param name="channels">Which channels.</param>
    /// <param name="from">Where it begins.</param>
    /// <param name="to">Where it ends; later than its beginning.</param>
    /// <param name="points">How many buckets, 1 to 20 000.</param>
    /// <param name="stop">Calls it off.</param>
    /// <exception cref="OperationCanceledException">It was called off.</exception>
    public Past Read(string station, IReadOnlyCollection<Channel> channels, DateTimeOffset from, DateTimeOffset to, int points, CancellationToken stop = default)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(to, from);
        ArgumentOutOfRangeException.ThrowIfLessThan(points, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(points, 20_000);
        var (fromMs, toMs) = (from.ToUnixTimeMilliseconds(), to.ToUnixTimeMilliseconds());
        var step = Math.Max(1, (toMs - fromMs + points - 1) / points);
        Grain? grain = Grains.All.LastOrDefault(g => Grains.LengthMs(g) <= step) is var coarsest && coarsest != default ? coarsest : null;
        var summing = new Summing(ms => ms >= fromMs && ms < toMs ? fromMs + ((ms - fromMs) / step * step) : null, channels);
        lock (_gate)
        {
            using var transaction = _connection.BeginTransaction(deferred: true);
            if (grain is { } summed)
            {
                Summaries(station, channels, summed, fromMs, toMs, _ => false, summing, stop);
                Raw(null, station, fromMs, toMs, summing, [], stop);
            }
            else
            {
                // What space took is left as minutes; one that has raw readings would count twice. A clock may have been set back, so no one moment parts the two.
                var minutes = new HashSet<long>();
                Raw(BlockSql.Block, station, fromMs, toMs, summing, minutes, stop);
                Summaries(station, channels, Grain.Minute, fromMs, toMs, bucket => minutes.Contains(bucket.StartMs), summing, stop);
            }

            return new Past(step, grain is { } name ? name.ToString() : "raw", channels.ToDictionary(c => c, c => (IReadOnlyList<Bucket>)[.. summing.Buckets[c].Values]));
        }
    }

    public void Dispose()
    {
        lock (_gate)
        {
            _connection.Dispose();
        }
    }

    private void Summaries(string station, IEnumerable<Channel> channels, Grain grain, long fromMs, long toMs, Predicate<Bucket> isRaw, Summing summing, CancellationToken stop)
    {
        foreach (var channel in channels)
        {
            stop.ThrowIfCancellationRequested();
            foreach (var bucket in SummaryStore.Rows(
                _connection, station, channel, grain, Grains.Floor(fromMs, Grains.RowMs(grain)), Grains.Floor(toMs - 1, Grains.RowMs(grain)),
                start => _damaged.Add($"{channel} {grain} {start}")))
            {
                if (bucket.StartMs < toMs && !isRaw(bucket))
                {
                    summing.Add(channel, bucket);
                }
            }
        }
    }

    /// <summary>Of the batches, which no summary holds yet, and of the blocks when asked for; in which minutes they are is added to <paramref name="minutes"/>.</summary>
    private void Raw(string? blocks, string station, long fromMs, long toMs, Summing summing, HashSet<long> minutes, CancellationToken stop)
    {
        foreach (var table in new[] { blocks, BlockSql.Batch }.OfType<string>())
        {
            foreach (var row in _connection.Each(
                $"SELECT {BlockSql.Columns} FROM {table} WHERE {BlockSql.InSpan} AND configuration_id IN (SELECT id FROM configuration WHERE station = $station) ORDER BY first_id",
                BlockSql.Row, BlockSql.Span(fromMs, toMs, ("$station", station))))
            {
                stop.ThrowIfCancellationRequested();
                if (!_cycles.IsReadable(row))
                {
                    _damaged.Add($"{row.FirstId}");
                    continue;
                }

                var sensors = _cycles.Configured(row.ConfigurationId).Sensors;
                foreach (var cycle in _cycles.Decoded(row))
                {
                    summing.Add(cycle, sensors);
                    if (cycle.Wall is { } wall) minutes.Add(Grains.Floor(wall.ToUnixTimeMilliseconds(), Grains.LengthMs(Grain.Minute)));
                }
            }
        }
    }
}
