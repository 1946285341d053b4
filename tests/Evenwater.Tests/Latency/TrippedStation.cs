using System.Diagnostics;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Page;
using Evenwater.Running;
using Evenwater.Watch;

namespace Evenwater.Tests.Latency;

/// <summary>A live station with its three threads on the machine's own clock, only its pins, bus and water simulated; tripped again and again.</summary>
internal sealed class TrippedStation : IDisposable
{
    private readonly SimulatedRig _rig;
    private readonly WatchedPins _pins;
    private readonly StationClock _clock = StationClock.Faster(1, TimeProvider.System.GetLocalNow(), MonotonicTime.FromSeconds(1));
    private readonly LiveStation _live;
    private readonly Random _random;
    private Exception? _broken;

    public TrippedStation(Station station, int seed, NightLog log, RunNumbers runs, long boot, StationDirectory directory, Action<StationView> post)
    {
        _random = new Random(seed);
        _rig = new SimulatedRig(station, (ulong)seed, []);
        _pins = new WatchedPins(_rig, station.Sensors);
        Advance();
        var devices = StationDevices.OnRig(station.Sensors, _rig, _pins);
        Loop = new StationLoop(
            new StationState(station), devices, new Recorder(log, runs, _clock, station.Name, boot, log.Configure(station)), _clock);
        directory.Set(Loop);
        var views = new ViewMaker(_clock);
        var posted = 0L;
        _live = new LiveStation(
            Loop, devices, _clock, StationBeats.Live(new Heartbeat(), station),
            now =>
            {
                // As the daemon does: once a second, on the guard's own thread.
                if (posted == 0 || Stopwatch.GetElapsedTime(posted).TotalSeconds >= 1)
                {
                    posted = Stopwatch.GetTimestamp();
                    post(views.Make(Loop, now));
                }
            },
            e => _broken = e);
    }

    public StationLoop Loop { get; }

    /// <summary>Openings that were refused, and trips that came of something else, such as a log that could not commit: not counted as trips.</summary>
    public int Others { get; private set; }

    /// <summary>Of those the ones that were held back because the forecast had taken the noise of so many openings for a leak.</summary>
    public int Leaks { get; private set; }

    /// <summary>Lets the water move on.</summary>
    public void Advance() => _rig.Advance(_clock.Now);

    /// <summary>Trips until told to stop.</summary>
    public async Task RunAsync(Latencies raw, Latencies debounced, Func<bool> enough)
    {
        await UntilAsync(() => TripCause.IsFresh(Loop.Shown.Readings), 60);
        while (!enough())
        {
            if (!await OpenAsync())
            {
                Others++;
                await AskAsync(Verb.Reset);
                continue;
            }

            await Task.Delay(_random.Next(300));
            _pins.Wet();
            await UntilAsync(() => Loop.Shown.Phase != Phase.Dripping, 30);
            if (Loop.State.Trip == Trip.HighFloat && _pins.Closed)
            {
                raw.Add(_pins.Raw.TotalMilliseconds);
                debounced.Add(_pins.Debounced.TotalMilliseconds);
                Assert.False(_pins.Reopened, "the line went high again after the trip");
            }
            else
            {
                Others++;
            }

            _pins.Dry();
            await UntilAsync(() => Loop.Shown.Readings[Channel.FloatHigh].TryGet(out var wet) && wet == 0, 30);
            await AskAsync(Verb.Reset);
        }
    }

    public void Dispose()
    {
        _live.Dispose();
        _pins.Dispose();
    }

    private async Task<bool> OpenAsync()
    {
        var obeyed = (await AskAsync(Verb.Begin)).Obeyed;
        if (obeyed)
        {
            // It may hold without having opened: by a leak that is seen meanwhile, or an opening that the log could not commit. What is shown is of the answer's turn once another has begun.
            var answered = Loop.LastTurn;
            await UntilAsync(() => Loop.Shown.Phase is Phase.Dripping or Phase.Tripped || (Loop.Shown.Phase == Phase.Holding && Loop.LastTurn > answered), 90);
        }

        var opened = obeyed && Loop.Shown.Phase == Phase.Dripping;
        Leaks += !opened && Loop.State.AlarmOf(AlarmId.FlowWhileClosed).Stands ? 1 : 0;
        return opened;
    }

    private async Task<Evenwater.Running.Answer> AskAsync(Verb verb) => await Loop.Ask(new Asking(verb, "latency")).WaitAsync(TimeSpan.FromSeconds(60));

    private async Task UntilAsync(Func<bool> so, double seconds)
    {
        for (var waited = Stopwatch.StartNew(); !so() && _broken is null;)
        {
            Assert.True(waited.Elapsed.TotalSeconds < seconds, $"{Loop.State.Station.Name}: not reached within {seconds} s, {Words.Of(Loop.Shown.Phase)}");
            await Task.Delay(10);
        }

        Assert.Null(_broken);
    }
}
