using Evenwater.Log;
using Evenwater.Log.Blocks;
using InfluxDB.Client.Writes;

namespace Evenwater.Followers;

/// <summary>
/// Sends what the log holds to InfluxDB. The cursor moves only after the server has acknowledged and had time to store; the log is the queue,
/// so nothing is lost while the server is away, and what is sent twice is stored once.
/// </summary>
internal sealed class InfluxFollower(NightLog log, InfluxOptions options, ILogger logger, RefusalsTold? told = null, TimeProvider? time = null)
{
    /// <summary>The name of its cursor.</summary>
    public const string Name = "influxdb";

    private readonly TimeSpan _settle = TimeSpan.FromSeconds(options.SettleSeconds);
    private readonly Acknowledged _place = new(log.Cursor(Name), TimeSpan.FromSeconds(options.SettleSeconds), time ?? TimeProvider.System);
    private readonly InfluxRefusals _refusals = new(
        told ?? new RefusalsTold((_, _) => { }, _ => { }), TimeSpan.FromSeconds(options.RefusedSeconds), time ?? TimeProvider.System, logger);

    private InfluxWire? _wire;
    private int _connections;
    private int _most = options.BatchEntries;
    private PointData? _lastTaken;
    private bool _failed;

    /// <summary>Why nothing is being sent just now; null while all is well.</summary>
    public string? Fault { get; private set; }

    /// <summary>How many entries the server has not acknowledged yet.</summary>
    public long Behind => log.LastId - _place.Sent;

    /// <summary>How many it would not have.</summary>
    public long Refused => _refusals.Count;

    /// <summary>How often it has tried to send, well or not.</summary>
    public long Tries { get; private set; }

    /// <summary>How many writes it has asked for.</summary>
    public long Requests { get; private set; }

    /// <summary>Follows until stopped.</summary>
    public async Task RunAsync(CancellationToken stop)
    {
        var backoff = new Backoff(TimeSpan.FromSeconds(options.RetrySeconds), TimeSpan.FromSeconds(options.LongestRetrySeconds));
        try
        {
            while (!stop.IsCancellationRequested)
            {
                var after = await TryNextAsync(stop);
                if (after is not { } least)
                {
                    backoff.Reset();
                    continue;
                }

                var wait = backoff.Next();
                await Task.Delay(wait > least ? wait : least, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
        finally
        {
            _wire?.Dispose();
        }
    }

    /// <summary>Null when it went well, or else the shortest time to wait.</summary>
    private async Task<TimeSpan?> TryNextAsync(CancellationToken stop)
    {
        Tries++;
        try
        {
            var waits = await SendNextAsync(stop);
            Say(waits, waits is null ? null : $"Nothing is sent to the database at {options.Url}: {waits}");
            return waits is null ? null : TimeSpan.Zero;
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            return null;
        }
        catch (Exception e)
        {
            return Failed(InfluxAnswer.Of(e));
        }
        finally
        {
            _refusals.Tell();
        }
    }

    private async Task<string?> SendNextAsync(CancellationToken stop)
    {
        _place.GoBackWhenInDoubt();
        await UntilThereIsMoreAsync(stop);
        var damaged = new List<BlockRow>();
        var entries = log.Reader.Read(_place.Last, _most, damaged).TakeWhile(e => e.Wall is not null || e.Spoilt).ToList();
        damaged.ForEach(row => _refusals.Unread(row, log.Reader.StationOf(row.ConfigurationId)));
        if (entries.Count == 0)
        {
            // A point's time is part of its identity: what has none yet must wait, and so must all after it.
            return $"entry {_place.Last + 1} has no wall time yet: the clock of this computer was not set since it started; all after it waits too";
        }

        _wire ??= new InfluxWire(options);
        Entry[] page = [.. entries];
        var points = Points(entries);
        if (points.Length == 0)
        {
            Passed(page, damaged.Count > 0);
            return null;
        }

        var batch = await SendAsync(points, stop);
        if (batch.Suspect is { } refusal && !await TakesOldAsync(stop))
        {
            throw refusal;
        }

        // What is refused is refused twice: a server that came back meanwhile takes the rest, or all of it, and there was no poison.
        var refused = batch.Refused.Count == 0 ? [] : (await SendAsync([.. batch.Refused.Select(r => points[r.Place])], stop)).Refused.ConvertAll(r => (batch.Refused[r.Place].Place, r.Why));
        _most = batch.TooLarge ? Math.Max(1, _most / 2) : _most;
        _lastTaken = batch.Taken ?? _lastTaken;
        _refusals.Taken();
        if (refused.Count > 0)
        {
            // Into the log before the cursor moves: both are then committed together, or neither.
            _refusals.SetAside(refused.ConvertAll(r => (entries[r.Place], r.Why.Reason)));
        }

        if (_wire.Connections != _connections && !_failed && _connections > 0)
        {
            _place.Doubt();
        }

        (_connections, _failed) = (_wire.Connections, false);
        Passed(page, damaged.Count > 0);
        return null;
    }

    private void Passed(Entry[] page, bool damaged)
    {
        if (!damaged)
        {
            _refusals.Page(_place.Last, page); // else what is missing was told already
        }

        _place.Add(page[^1].Id);
        MoveCursor();
    }

    private async Task<InfluxBatch> SendAsync(PointData[] points, CancellationToken stop)
    {
        var batch = new InfluxBatch(part =>
        {
            Requests++;
            return _wire!.WriteAsync(part, stop);
        });
        await batch.SendAsync(points);
        return batch;
    }

    /// <summary>The points of these entries, without those that are no longer what was written: they are taken out of the list, and told of.</summary>
    private PointData[] Points(List<Entry> entries)
    {
        var points = new List<PointData>(entries.Count);
        entries.RemoveAll(entry =>
        {
            try
            {
                points.Add(PointOf(entry));
                return false;
            }
            catch (Exception e) when (OtherBytes.Made(e))
            {
                _refusals.Unread(entry, e.Message);
                return true;
            }
        });
        return [.. points];
    }

    private PointData PointOf(Entry entry) => entry.Spoilt ? throw new InvalidDataException("its date or its clock is none")
        : InfluxPoints.Of(entry, log.Reader.Configuration(entry.ConfigurationId));

    /// <summary>A server that refuses even what it has taken before refuses this daemon, and not an entry.</summary>
    private async Task<bool> TakesOldAsync(CancellationToken stop)
    {
        if (_lastTaken is null && _place.Last > 0)
        {
            _lastTaken = Points([.. log.Reader.Read(_place.Last - 1, 1, []).Where(entry => entry.Wall is not null)]).FirstOrDefault();
        }

        if (_lastTaken is null)
        {
            return false;
        }

        return (await SendAsync([_lastTaken], stop)).Taken is not null;
    }

    private async Task UntilThereIsMoreAsync(CancellationToken stop)
    {
        while (log.LastId <= _place.Last)
        {
            using var nap = CancellationTokenSource.CreateLinkedTokenSource(stop);
            nap.CancelAfter(_place.AllSettled ? Timeout.InfiniteTimeSpan : _settle);
            try
            {
                await log.WaitAfterAsync(_place.Last, nap.Token);
            }
            catch (OperationCanceledException) when (!stop.IsCancellationRequested)
            {
                MoveCursor();
                _place.GoBackWhenInDoubt();
            }
        }
    }

    private void MoveCursor()
    {
        if (_place.Settled is var settled && settled != log.Cursor(Name))
        {
            log.MoveCursor(Name, settled);
        }
    }

    private TimeSpan? Failed(InfluxAnswer answer)
    {
        _place.Doubt();
        _failed = true;
        if (answer.Verdict == InfluxVerdict.Later)
        {
            Say(answer.Reason, $"The database at {options.Url} takes nothing now ({answer.Reason}); the log keeps it until it does");
        }
        else
        {
            var words = $"The database at {options.Url} refuses this daemon, and no reading: {answer.Reason}. Check influx.url, organisation, bucket and tokenFile.";
            _refusals.Denied(log.Reader.Read(_place.Last, 1, []) is [var first] ? first.Station : "", words);
            Say(words, words);
            _wire?.Dispose(); // The next one reads the token's file again.
            (_wire, _connections) = (null, 0);
        }

        return answer.After ?? TimeSpan.Zero;
    }

    private void Say(string? fault, string? words)
    {
        if (fault is not null && Fault is null)
        {
            logger.LogWarning("{Words}", words);
        }
        else if (fault is null && Fault is not null)
        {
            logger.LogInformation("The database at {Url} takes what it is sent again", options.Url);
        }

        Fault = fault;
    }
}
