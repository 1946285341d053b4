using Evenwater.Calibrating;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Page;
using Evenwater.Watch;

namespace Evenwater.Running;

/// <summary>One simulated station in a running daemon: its thread keeps up with its own clock. In a demo, night follows night.</summary>
internal sealed class SimulatedNights : IDisposable
{
    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(50);

    /// <summary>The first night's; its probes and thermometers hang in those that follow as well, as in a home.</summary>
    public const ulong FirstSeed = 1;

    /// <summary>How long after an ended night the next begins, s of the station.</summary>
    private const double BetweenNightsSeconds = 1800;

    /// <summary>How long a night may hang, tripped or half done, before the demo goes on, s of the station.</summary>
    private const double HangingSeconds = 4 * 3600;

    private readonly Station _station;
    private readonly RunPlan _plan;
    private readonly NightLog _log;
    private readonly Recorder _recorder;
    private readonly StationClock _clock;
    private readonly CalibrationDesk _calibrations;
    private readonly StationDirectory _directory;
    private readonly StationBeats _beats;
    private readonly Action<bool, Func<StationView>> _post;
    private readonly CancellationTokenSource _stop = new();
    private readonly Thread _thread;
    private readonly ILogger _logger;
    private readonly ViewMaker _views;
    private ulong _seed = FirstSeed;
    private Task<Answer>? _finishing;

    public SimulatedNights(
        Station station, RunPlan plan, NightLog log, RunNumbers runs, long boot, CalibrationDesk calibrations, StationDirectory directory,
        StationBeats beats, Action<bool, Func<StationView>> post, Action<Exception> broken, ILogger logger)
    {
        (_station, _plan, _log, _calibrations, _directory, _beats, _post, _logger) = (station, plan, log, calibrations, directory, beats, post, logger);
        _clock = StationClock.Faster(plan.Speed, Begins(log, station.Name, TimeProvider.System.GetLocalNow()), MonotonicTime.FromSeconds(1));
        _views = new ViewMaker(_clock);
        _recorder = new Recorder(log, runs, _clock, station.Name, boot, log.Configure(station));
        _thread = new Thread(() =>
        {
            try
            {
                while (!_stop.IsCancellationRequested)
                {
                    Night();
                }
            }
            catch (Exception e)
            {
                // A start that fails closes the log beneath it.
                if (!_stop.IsCancellationRequested)
                {
                    broken(e);
                }
            }
        })
        {
            Name = station.Name,
            IsBackground = true,
        };
        _thread.Start();
    }

    public void Dispose()
    {
        _stop.Cancel();
        _thread.Join(TimeSpan.FromSeconds(2));
        _stop.Dispose();
    }

    /// <summary>The latest eight in the evening that is at least 13 hours ago, so that a whole night lies behind the clock on the wall.</summary>
    public static DateTimeOffset LatestEvening(DateTimeOffset now)
    {
        var latest = now.AddHours(-13);
        var evening = new DateTimeOffset(latest.Year, latest.Month, latest.Day, 20, 0, 0, latest.Offset);
        return evening <= latest ? evening : evening.AddDays(-1);
    }

    /// <summary>That evening, or where the station's log leaves off when that is later: what it holds must not lie ahead, nor two nights over one another.</summary>
    private static DateTimeOffset Begins(NightLog log, string station, DateTimeOffset now) => LatestEvening(now) is var evening
        && log.Needed($"what was last of {station}", () => OwnNow.Own(log.Reader, station))?.AddSeconds(StationLoop.CycleSeconds) is { } left && left > evening && left <= now
        ? left.ToOffset(evening.Offset)
        : evening;

    private void Night()
    {
        // The rig is what the file says; what was calibrated since is the program's view of it.
        var (station, due) = _calibrations.InForce(_station);
        _recorder.ConfigurationId = _log.Configure(station);
        using var night = new SimulatedStation(station, _seed++, [], _recorder, _clock, _clock.Now, truth: _station, probesOf: FirstSeed);
        night.Loop.CalibrationsDue = due;
        AlarmMemory.TakeOver(night.Loop.State, _log.Reader.Alarms(_station.Name), night.Now, _clock.WallAt(night.Now), asideAlone: true);
        _recorder.ClearLeftOver(night.Loop.State, night.Now);
        night.Loop.Recall(_log.Reader);
        _directory.Set(night.Loop);
        _logger.LogInformation("{Station}: {Devices}", _station.Name, night.Description);
        var asked = !_plan.Demo;
        while (!_stop.Token.WaitHandle.WaitOne(Pause))
        {
            while (night.Now < _clock.Now && !_stop.IsCancellationRequested)
            {
                if (night.Step())
                {
                    _post(night.Loop.Answered, () => _views.Make(night.Loop, night.Now));
                    _beats.Cycle.Turn();
                }
            }

            _beats.Guard.Turn();

            if (!asked && TripCause.IsFresh(night.Loop.State.Readings))
            {
                asked = true;
                _ = night.Loop.Ask(new Asking(Verb.Begin, "demo", night.Keeper));
            }

            if (_plan.Demo && IsOver(night))
            {
                return;
            }
        }
    }

    private bool IsOver(SimulatedStation night)
    {
        var state = night.Loop.State;
        var inPhase = night.Now.SecondsSince(state.PhaseSince);
        if (state.Phase == Phase.Holding && inPhase > (state.WasEven ? BetweenNightsSeconds : HangingSeconds))
        {
            _finishing = _finishing is { IsCompleted: false } ? _finishing : night.Loop.Ask(new Asking(Verb.Finish, "demo"));
        }

        return state.Phase is Phase.Finished or Phase.Abandoned
            ? inPhase > BetweenNightsSeconds
            : state.Phase is Phase.Tripped or Phase.Idle && state.Run is not null && inPhase > HangingSeconds;
    }
}
