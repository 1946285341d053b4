using System.Diagnostics;
using Evenwater.Calibrating;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Log;
using Evenwater.Page;
using Evenwater.Watch;

namespace Evenwater.Running;

/// <summary>How the daemon's stations are run.</summary>
/// <param name="Stations">Which.</param>
/// <param name="Speed">Station seconds per second, for simulated stations.</param>
/// <param name="Demo">Whether simulated nights follow one another by themselves.</param>
/// <param name="BootId">This start's number in the log.</param>
internal sealed record RunPlan(IReadOnlyList<Station> Stations, double Speed, bool Demo, long BootId);

/// <summary>The hosted worker: starts every station, and stops the whole daemon loudly when one of them breaks.</summary>
internal sealed class StationWorker(
    RunPlan plan, NightLog log, StationBoard board, StationDirectory directory, CalibrationDesk calibrations, Heartbeat heartbeat,
    IHostApplicationLifetime lifetime, TimeProvider time, ILogger<StationWorker> logger) : BackgroundService
{
    private const double PostEverySeconds = 1;

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        heartbeat.Watch("log", () => log.Turns, NightLog.LongestSilence, NightLog.MostTurnsPerSecond);
        // At once, and not in its turn: what is stopped before it may wait for a broker that does not answer.
        using var stopping = CancellationTokenSource.CreateLinkedTokenSource(stoppingToken, lifetime.ApplicationStopping);
        var live = new List<IDisposable>();
        try
        {
            var runs = new RunNumbers(log.Needed("its runs", log.Reader.HighestRun));
            var left = LeftRuns.End(log, plan.Stations.Select(s => s.Name), plan.BootId, time);
            foreach (var station in plan.Stations)
            {
                live.Add(IsSimulated(station) ? Simulated(station, runs) : Live(station, runs, stopping.Token));
            }

            await TellRefusedAsync(left, stopping.Token);
            await Task.Delay(Timeout.Infinite, stopping.Token);
        }
        catch (OperationCanceledException) when (stopping.IsCancellationRequested)
        {
            logger.LogInformation("Stopping: every valve is closed.");
        }
        catch (LogUnusableException e)
        {
            // In words, without the way to where it was found.
            logger.LogCritical("Can not serve: {Why}. Nothing is opened, and the daemon stops.", e.Message);
            RefusedStarts.Keep(log.Folder, e, time.GetUtcNow());
            Environment.ExitCode = 1;
            lifetime.StopApplication();
        }
        catch (Exception e)
        {
            Break(e);
        }
        finally
        {
            await Task.Yield(); // who stops may be a station's own thread, which is waited for
            Stopping.All(live, Break);
        }
    }

    /// <summary>Starts that the log refused before, runs that nobody goes on with, and what is wrong with the unit, are told in it now, to each station's keeper.</summary>
    private async Task TellRefusedAsync(IReadOnlyList<string> left, CancellationToken stop)
    {
        var refused = RefusedStarts.Kept(log.Folder);
        while (refused.Count + left.Count + UnitSeen.Here.Count + (log.BegunAnew?.Length ?? 0) > 0 && !plan.Stations.All(s => directory.Has(s.Name)))
        {
            await Task.Delay(100, stop);
        }

        foreach (var line in refused)
        {
            directory.NoteAll("start-refused", line);
        }

        foreach (var run in left)
        {
            logger.LogError("{Left}", run);
            directory.NoteAll(LeftRuns.EventName, run);
        }

        if (log.BegunAnew is { } anew)
        {
            logger.LogError("{Anew}", anew);
            directory.NoteAll("log-begun-anew", anew);
        }

        foreach (var broken in UnitSeen.Here)
        {
            logger.LogError("{Broken} No run may be left alone until it is mended.", broken);
            directory.NoteAll("unit-broken", broken);
        }

        if (refused.Count > 0 || log.BegunAnew is not null)
        {
            try
            {
                await log.CommitAsync(stop);
                RefusedStarts.Forget(log.Folder);
                DamagedLog.Told(log.Folder);
            }
            catch (IOException e)
            {
                logger.LogWarning("What earlier starts left is not on the disk yet, and is told again at the next: {Why}", e.Message);
            }
        }
    }

    private static bool IsSimulated(Station station) => station.Sensors.Source == SensorSource.Simulated;

    private SimulatedNights Simulated(Station station, RunNumbers runs) =>
        new(station, plan, log, runs, plan.BootId, calibrations, directory, StationBeats.Simulated(heartbeat, station), Posting(), Break, logger);

    private LiveStation Live(Station file, RunNumbers runs, CancellationToken stop)
    {
        var (station, due) = calibrations.InForce(file);
        var restart = Restart.Of(log, station, time, heartbeat.Start, StationClock.UpUnsynchronised, () => stop.IsCancellationRequested);
        var (state, clock) = (restart.State, restart.Clock);
        logger.LogInformation("{Station}: last run {Run}, {Phase}, {Gap} s ago", station.Name, restart.RunId is { } run ? $"{run}" : "none", Words.Of(state.Phase), restart.GapSeconds is { } gap ? $"{gap:F0}" : "nobody can tell how many");
        var recorder = new Recorder(log, runs, clock, station.Name, plan.BootId, log.Configure(state.Station));
        if (log.BegunAnew is not null)
        {
            Restart.LatchUnknown(state, recorder, clock.Now);
        }

        var wall = time.GetUtcNow();
        var begunBy = log.Needed($"the alarms of {station.Name}", () =>
        {
            AlarmMemory.Count(recorder.Tally, log.Reader.AlarmsSince(station.Name, wall.AddDays(-1)), clock.Now, wall);
            return log.Reader.LastObeyed(station.Name, Words.Of(Verb.Begin))?.By;
        });
        var damaged = log.Needed($"the alarms of {station.Name}", () => Restart.LatchDamaged(log, state, recorder, clock.Now));
        var devices = new LateDevices(station, () => StationDevices.OnBoard(station.Sensors));
        logger.Log(devices.Missing is null ? LogLevel.Information : LogLevel.Error, "{Station}: {Devices}", station.Name, devices.Description);
        var loop = new StationLoop(state, devices, recorder, clock)
        {
            Seed = (ulong)plan.BootId,
            CalibrationsDue = due,
            Events = restart.Past.Events,
        };
        loop.Recalibrate(station, log.Configure(station)); // at once, or when the run that goes on has ended
        _ = log.Needed($"the proof test of {station.Name}", () =>
        {
            loop.Recall(log.Reader);
            return true;
        });
        if (state.Run is null)
        {
            recorder.ClearLeftOver(state, clock.Now);
        }

        if (damaged is not null)
        {
            logger.LogError("{Station}: {Damaged}", station.Name, damaged);
            loop.Note("alarms-unread", damaged);
        }

        directory.Set(loop);
        restart.Ask(loop, begunBy);
        var post = Posting();
        var views = new ViewMaker(clock, restart);
        return new LiveStation(loop, devices, clock, StationBeats.Live(heartbeat, station), now => post(loop.Answered, () => views.Make(loop, now)), Break);
    }

    /// <summary>Puts up a view about once a second, and at once when somebody was answered.</summary>
    private Action<bool, Func<StationView>> Posting()
    {
        var last = 0L;
        return (atOnce, make) =>
        {
            if (atOnce || last == 0 || Stopwatch.GetElapsedTime(last).TotalSeconds >= PostEverySeconds)
            {
                last = Stopwatch.GetTimestamp();
                board.Post(make());
            }
        };
    }

    /// <summary>A faulted background service would end the program with 0: say it, and fail.</summary>
    private void Break(Exception e)
    {
        logger.LogCritical(e, "A station broke; its valve closes and the daemon stops.");
        DamagedLog.Remember(log.Folder, e);
        Environment.ExitCode = 1;
        lifetime.StopApplication();
    }
}
