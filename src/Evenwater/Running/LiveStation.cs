using Evenwater.Core;
using Evenwater.Watch;

namespace Evenwater.Running;

/// <summary>
/// A station on this computer's own buses and pins. Three threads, so that nothing slow holds up anything that protects:
/// the probes (I2C and 1-wire may take seconds), the guard (switches at 20 Hz, cycle, decision), the pulses (20 Hz, lease checked each time).
/// </summary>
internal sealed class LiveStation : IDisposable
{
    private static readonly TimeSpan PollEvery = TimeSpan.FromMilliseconds(50);
    private static readonly TimeSpan ProbeEvery = TimeSpan.FromSeconds(StationLoop.CycleSeconds);

    private readonly Lock _gate = new();
    private readonly LateDevices _devices;
    private readonly StationClock _clock;
    private readonly CancellationTokenSource _stop = new();
    private readonly List<Thread> _threads = [];
    private readonly Action<Exception> _broken;
    private volatile bool _disposing;
    private RawSamples _probes = RawSamples.None();

    /// <param name="loop">The station's turns.</param>
    /// <param name="devices">Its devices; disposed with this.</param>
    /// <param name="clock">Its clock.</param>
    /// <param name="beats">What each thread counts its completed turns with.</param>
    /// <param name="turned">Called after each turn, on the guard's thread.</param>
    /// <param name="broken">Called when a thread dies: the daemon must stop loudly. The pulses die with it, so the valve closes.</param>
    public LiveStation(StationLoop loop, LateDevices devices, StationClock clock, StationBeats beats, Action<MonotonicTime> turned, Action<Exception> broken)
    {
        (_devices, _clock, _broken) = (devices, clock, broken);
        Start("probes", ProbeEvery, beats.Probes, ReadProbes);
        Start("guard", PollEvery, beats.Guard, () => Guard(loop, beats.Cycle, turned));
        Start("pulses", PollEvery, beats.Pulses, () => devices.Valve?.Pulse(clock.Now));
    }

    public void Dispose()
    {
        _disposing = true;
        _stop.Cancel();
        Close();
        foreach (var thread in _threads)
        {
            thread.Join(TimeSpan.FromSeconds(2));
        }

        _devices.Dispose();
        _stop.Dispose();
    }

    private void ReadProbes()
    {
        var own = _probes;
        _devices.ReadProbes(_clock.Now, ref own);
        lock (_gate)
        {
            _probes = own;
        }
    }

    private void Guard(StationLoop loop, Beat cycle, Action<MonotonicTime> turned)
    {
        RawSamples latest;
        lock (_gate)
        {
            latest = _probes;
        }

        loop.Take(latest);
        var now = _clock.Now;
        if (loop.Poll(now))
        {
            turned(now);
            cycle.Turn();
        }
    }

    /// <summary>Closes, and lets nothing keep a dying thread from saying so: without pulses the driver drops out by itself.</summary>
    private void Close()
    {
        try
        {
            _devices.Valve?.Close();
        }
        catch (Exception e) when (!_disposing)
        {
            _broken(e);
        }
        catch (Exception)
        {
            // The pins are gone already.
        }
    }

    private void Start(string name, TimeSpan every, Beat beat, Action turn)
    {
        var stopped = _stop.Token.WaitHandle;
        var thread = new Thread(() =>
        {
            if (name is "pulses" or "guard")
            {
                _ = Urgent.Ask();
            }

            try
            {
                while (!stopped.WaitOne(every))
                {
                    turn();
                    beat.Turn();
                }
            }
            catch (Exception e)
            {
                Close();
                if (!_disposing)
                {
                    _stop.Cancel();
                    _broken(e);
                }
            }
        })
        {
            Name = name,
            IsBackground = true,
        };
        _threads.Add(thread);
        thread.Start();
    }
}
