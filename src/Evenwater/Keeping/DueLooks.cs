using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Running;
using Microsoft.Data.Sqlite;

namespace Evenwater.Keeping;

/// <summary>Looks once a minute whether animals are to be looked at, and tells their station.</summary>
internal sealed class DueLooks(NightLog log, StationDirectory directory, ILogger<DueLooks> logger) : BackgroundService
{
    private static readonly TimeSpan Every = TimeSpan.FromMinutes(1);

    /// <summary>Whether a look is due at a station.</summary>
    public static bool Any(LogReader log, string station, DateTimeOffset? now) => now is { } at && Arrivals.Of(Books.Of(log, station)).Any(came => came.Due(at).Any());

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        while (!stoppingToken.IsCancellationRequested)
        {
            foreach (var loop in directory.Loops)
            {
                try
                {
                    loop.OutcomeDue = Any(log.Reader, loop.State.Station.Name, loop.WallNow);
                }
                catch (Exception e) when (e is SqliteException or System.Text.Json.JsonException)
                {
                    // A reminder is no reason to stop; the alarm stays as it was.
                    logger.LogWarning("the book of {Station} can not be read: {Why}", loop.State.Station.Name, e.Message);
                }
            }

            await Task.Delay(Every, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }
}
