using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Running;

namespace Evenwater.Tests.Latency;

/// <summary>
/// Trips of one station whose switches are polled every 50 ms of its own time, as a live station's are; the float turns wet anywhere between two polls.
/// One thread and no waiting, so these times are the loop's alone.
/// </summary>
internal sealed class SimulatedTrips : IDisposable
{
    private const double PollSeconds = 0.05;

    /// <summary>Then another night begins: one would run out of time and room.</summary>
    private const int MostOfOneNight = 250;

    private readonly Random _random;
    private readonly SimulatedRig _rig;
    private readonly WatchedPins _pins;
    private readonly StationDevices _devices;
    private readonly StationLoop _loop;
    private RawSamples _probes = RawSamples.None();
    private MonotonicTime _now = MonotonicTime.FromSeconds(1);
    private MonotonicTime _nextProbes;

    private SimulatedTrips(int seed)
    {
        var station = DemoStation.Read();
        _random = new Random(seed);
        _rig = new SimulatedRig(station, (ulong)seed, []);
        _pins = new WatchedPins(_rig, station.Sensors);
        _devices = StationDevices.OnRig(station.Sensors, _rig, _pins);
        var clock = StationClock.Faster(1, new DateTimeOffset(2026, 1, 10, 20, 0, 0, TimeSpan.Zero), _now);
        _loop = new StationLoop(new StationState(station), _devices, new Recorder(null, new RunNumbers(0), clock, station.Name, 1, 1), clock);
    }

    /// <summary>Trips so often.</summary>
    /// <param name="trips">How often.</param>
    /// <param name="seed">Of the first night; each further one has the next.</param>
    /// <param name="raw">From wet to closed, in the station's own time.</param>
    /// <param name="debounced">From the settling read to closed, by this machine's clock: what the turn takes.</param>
    /// <returns>How many nights it took, and how many of them ended because the forecast recognised a leak that is none.</returns>
    public static (int Nights, int Ended) Run(int trips, int seed, Latencies raw, Latencies debounced)
    {
        var (nights, ended) = (0, 0);
        for (; raw.Count < trips; seed++)
        {
            nights++;
            using var night = new SimulatedTrips(seed);
            night.Run(Math.Min(trips - raw.Count, MostOfOneNight), raw, debounced);
            ended += night.Leaks ? 1 : 0;
            Assert.InRange(ended, 0, 1 + (nights / 10)); // more would be a fault of the program
        }

        return (nights, ended);
    }

    private void Run(int trips, Latencies raw, Latencies debounced)
    {
        Go(10, () => TripCause.IsFresh(_loop.Shown.Readings));
        for (var i = 0; i < trips; i++)
        {
            Ask(Verb.Begin);
            Go(60, () => _loop.State.Phase == Phase.Dripping || Leaks);
            if (Leaks)
            {
                return; // the next night goes on
            }

            Go(_random.NextDouble(), null);

            // Between this poll and the next: the poll that comes sees it first.
            var wetAt = _now.Plus(_random.NextDouble() * PollSeconds);
            _pins.Wet();
            Go(5, () => _pins.Closed);
            Assert.Equal((Phase.Tripped, Trip.HighFloat), (_loop.State.Phase, _loop.State.Trip));
            raw.Add(_now.SecondsSince(wetAt) * 1000);
            debounced.Add(_pins.Debounced.TotalMilliseconds);
            Go(2.5, null);
            Assert.False(_pins.Reopened || _rig.ValveOpen, "the valve was open after the trip");
            _pins.Dry();
            Go(5, () => _loop.Shown.Readings[Channel.FloatHigh].TryGet(out var wet) && wet == 0);
            Ask(Verb.Reset);
        }
    }

    /// <summary>Opened and closed two dozen times in six minutes, as nobody does, the forecast takes noise for a leak in a night of some forty; nothing opens then.</summary>
    private bool Leaks => _loop.State.AlarmOf(AlarmId.FlowWhileClosed).Stands;

    public void Dispose()
    {
        _devices.Dispose();
        _pins.Dispose();
    }

    private void Ask(Verb verb)
    {
        var asked = _loop.Ask(new Asking(verb, "latency"));
        Go(2, () => asked.IsCompleted);
        Assert.True(asked.Result.Obeyed, asked.Result.Text);
    }

    private void Go(double seconds, Func<bool>? until)
    {
        for (var end = _now.Plus(seconds); _now < end;)
        {
            _now = _now.Plus(PollSeconds);
            _rig.Advance(_now);
            if (_now >= _nextProbes)
            {
                _devices.ReadProbes(_now, ref _probes);
                _nextProbes = _now.Plus(StationLoop.CycleSeconds);
            }

            _loop.Take(_probes);
            _loop.Poll(_now);
            _pins.Pulsing = true;
            _devices.Valve.Pulse(_now);
            _pins.Pulsing = false;
            if (until?.Invoke() == true)
            {
                return;
            }
        }

        Assert.True(until is null, "not reached in time");
    }
}
