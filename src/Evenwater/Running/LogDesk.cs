using Evenwater.Followers;
using Evenwater.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Running;

/// <summary>The daemon's log in figures. Looked at once a second at most, whoever asks how often.</summary>
internal sealed class LogDesk(NightLog log, FollowerPlan plan, RunPlan run, TimeProvider time)
{
    private const long FewReadings = 1000;

    private static readonly TimeSpan Fresh = TimeSpan.FromSeconds(1);

    private readonly Lock _gate = new();
    private (LogFigures? Figures, long At)? _latest;
    private (long Readings, long Bytes)? _begun;

    /// <summary>The figures; null when the file can not be read.</summary>
    public LogFigures? Figures()
    {
        lock (_gate)
        {
            if (_latest is not { } latest || time.GetElapsedTime(latest.At) >= Fresh)
            {
                _latest = (Look(), time.GetTimestamp());
            }

            return _latest.Value.Figures is { } figures
                ? figures with { Commits = log.Commits, LacksRoom = log.LacksRoom, OldestUncommittedSeconds = log.OldestUncommitted.TotalSeconds, WrittenPerReading = Written() }
                : null;
        }
    }

    /// <summary>From some readings after the start on, which makes files of its own, and not before there are enough more.</summary>
    private double? Written()
    {
        var (readings, bytes) = (log.ReadingsWritten, DeviceWrites.Bytes());
        if (readings < FewReadings || bytes is null)
        {
            return null;
        }

        var (first, firstBytes) = _begun ??= (readings, bytes.Value);
        return readings - first >= FewReadings ? (double)(bytes.Value - firstBytes) / (readings - first) : null;
    }

    private LogFigures? Look()
    {
        try
        {
            using var look = new LogLook(log.Folder, time.GetUtcNow());
            return look.Figures(Lane.Of(plan, run.Stations.Select(s => s.Name)), log.Cursor);
        }
        catch (Exception e) when (e is SqliteException or IOException or InvalidDataException)
        {
            return null;
        }
    }
}
