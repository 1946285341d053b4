using System.Device.Gpio;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Evenwater.Tests.Documents;
using Evenwater.Tests.Latency;
using Evenwater.Tests.Log;
using Evenwater.Watch;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Running;

/// <summary>
/// A live station with its threads, one of which stands still in the midst of the drip: the valve closes, the keeper is told, and the supervisor
/// feeds no more. The station's clock goes four times as fast as the machine's.
/// </summary>
public sealed class StalledTests : IDisposable
{
    private const double Speed = 4;

    private readonly LogFolder _folder = new();
    private readonly ManualResetEventSlim _held = new(initialState: true);

    public void Dispose()
    {
        _held.Set();
        _held.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task Probes_whose_thread_stands_still_close_the_valve_and_are_told_and_the_supervisor_feeds_no_more()
    {
        using var log = _folder.Open();
        await using var night = new LiveNight(log, _held);
        await night.DripAsync();
        _held.Reset();
        var since = night.Clock.Now;
        await night.UntilAsync(() => night.Loop.Shown.Phase == Phase.Tripped, 30);
        Assert.Equal(Trip.Blind, night.Loop.State.Trip);

        // Probes are too old after 15 s; and then the driver's 2 s.
        await night.UntilAsync(() => !night.ValveOpen, 5);
        Assert.InRange(night.Clock.Now.SecondsSince(since), 14, 15 + 2 + 5);
        Assert.Contains(night.Loop.Shown.Alarms.Lines, line => line is { Name: "blind", Stands: true });
        await night.UntilAsync(() => night.Supervisor.Look(night.Since()) is null && night.Told("probes' has stood still"), 15);
        Assert.False(night.ValveOpen);
    }

    [Fact]
    public async Task A_log_whose_writer_stands_still_closes_the_valve_and_is_told_and_the_supervisor_feeds_no_more()
    {
        // Another process holds the file, for longer than a commit may take.
        var pace = LogFolder.Quick with { LongestCommit = TimeSpan.FromSeconds(1), BusySeconds = 60 };
        using var log = _folder.Open(pace);
        await using var night = new LiveNight(log, _held);
        night.Heartbeat.Watch("log", () => log.Turns, TimeSpan.FromSeconds(2 * Speed), NightLog.MostTurnsPerSecond);
        await night.DripAsync();
        using var other = new SqliteConnection($"Data Source={_folder.File};Pooling=False");
        other.Open();
        using (var hold = other.CreateCommand())
        {
            hold.CommandText = "BEGIN IMMEDIATE";
            hold.ExecuteNonQuery();
        }

        var since = night.Clock.Now;
        await night.UntilAsync(() => night.Loop.Shown.Phase == Phase.Tripped, 40);
        Assert.Equal(Trip.LogLost, night.Loop.State.Trip);
        await night.UntilAsync(() => !night.ValveOpen, 5);

        // Batch and longest commit, of the machine's time, a cycle, and then the driver's 2 s.
        Assert.InRange(night.Clock.Now.SecondsSince(since), 1 * Speed, ((0.2 + 1) * Speed) + 1 + 2 + (1.5 * Speed));
        Assert.Contains(night.Loop.Shown.Alarms.Lines, line => line is { Name: "log-lost", Stands: true });
        await night.UntilAsync(() => night.Supervisor.Look(night.Since()) is null && night.Told("'log' has stood still"), 30);
        Assert.False((await night.AskAsync(Verb.Reset)).Obeyed);
        using var end = other.CreateCommand();
        end.CommandText = "ROLLBACK";
        end.ExecuteNonQuery();
    }

    /// <summary>The marine station, since its scale is read over pins, which can be held, and by the thread of the probes.</summary>
    private sealed class LiveNight : IAsyncDisposable
    {
        private readonly SimulatedRig _rig;
        private readonly LiveStation _live;
        private readonly CancellationTokenSource _stop = new();
        private readonly Task _water;
        private Exception? _broken;

        public LiveNight(NightLog log, ManualResetEventSlim held)
        {
            var station = StationFile.Read(Path.Combine(Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;
            _rig = new SimulatedRig(station, 1, []);
            Clock = StationClock.Faster(Speed, LogFolder.Evening, MonotonicTime.FromSeconds(1));
            _rig.Advance(Clock.Now);
            var devices = StationDevices.OnRig(station.Sensors, _rig, new HeldPins(_rig, station.Sensors.LoadCell!.DataLine, held));
            var recorder = new Recorder(log, new RunNumbers(0), Clock, station.Name, log.StartBoot("test", simulated: true), log.Configure(station));
            Loop = new StationLoop(new StationState(station), devices, recorder, Clock);
            var beats = StationBeats.Live(Heartbeat, station);
            Supervisor = new Supervisor(Heartbeat, [station.Name], TimeSpan.FromMilliseconds(1));
            _live = new LiveStation(Loop, devices, Clock, beats, _ => { }, e => _broken = e);
            _water = Task.Run(async () =>
            {
                while (!_stop.IsCancellationRequested)
                {
                    _rig.Advance(Clock.Now);
                    await Task.Delay(20, CancellationToken.None);
                }
            });
        }

        public StationClock Clock { get; }

        public StationLoop Loop { get; }

        public Heartbeat Heartbeat { get; } = new();

        public Supervisor Supervisor { get; }

        public bool ValveOpen => _rig.ValveOpen;

        public TimeSpan Since() => TimeSpan.FromSeconds(Clock.Now.Seconds);

        public bool Told(string trouble) => Supervisor.Troubles.Any(t => t.Contains(trouble, StringComparison.Ordinal));

        public async Task DripAsync()
        {
            await UntilAsync(() => TripCause.IsFresh(Loop.Shown.Readings), 30);
            var begun = await AskAsync(Verb.Begin);
            Assert.True(begun.Obeyed, begun.Text);
            await UntilAsync(() => ValveOpen && Loop.Shown.Phase == Phase.Dripping, 30);
            await UntilAsync(() => Supervisor.Look(Since()) is not null, 30);
        }

        public async Task<Evenwater.Running.Answer> AskAsync(Verb verb) => await Loop.Ask(new Asking(verb, "test")).WaitAsync(TimeSpan.FromSeconds(20));

        public async Task UntilAsync(Func<bool> so, double seconds)
        {
            // Asked once a turn: a look of the supervisor that fed is not fed again at once.
            var held = so();
            for (var i = 0; i < seconds * 50 && !held && _broken is null; i++)
            {
                await Task.Delay(20, TestContext.Current.CancellationToken);
                held = so();
            }

            Assert.Null(_broken);
            Assert.True(held, $"not within {seconds} s: {Words.Of(Loop.Shown.Phase)} {string.Join("; ", Supervisor.Troubles)}");
        }

        public async ValueTask DisposeAsync()
        {
            await _stop.CancelAsync();
            await _water;
            _live.Dispose();
            _stop.Dispose();
        }
    }

    /// <summary>The rig's pins, on one of which a read does not return while it is held.</summary>
    private sealed class HeldPins(SimulatedRig rig, int line, ManualResetEventSlim free) : PassedPins(rig)
    {
        protected override PinValue Read(int pinNumber)
        {
            if (pinNumber == line)
            {
                free.Wait();
            }

            return base.Read(pinNumber);
        }
    }
}
