using System.Device.Gpio;
using CsCheck;
using Evenwater.Core;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>Edges as the kernel tells them, to drops.</summary>
public sealed class DropCounterTests : IDisposable
{
    private const int Line = 16;
    private readonly FakeGpioDriver _pins;
    private readonly GpioController _controller;
    private double _seconds = 5;
    private bool _dark;
    private Action _reading = () => { };

    public DropCounterTests()
    {
        _pins = new FakeGpioDriver(
            _ =>
            {
                _reading();
                return _dark;
            },
            (_, _) => { });
        _controller = new GpioController(_pins);
    }

    private MonotonicTime Now => MonotonicTime.FromSeconds(_seconds);

    public void Dispose()
    {
        _controller.Dispose();
        _pins.Dispose();
    }

    [Fact]
    public void No_drop_is_lost_and_none_is_counted_twice_however_readings_fall_between_drops() =>
        Gen.Bool.Array[1, 200].Sample(
            reads =>
            {
                using var counter = Make();
                var counted = 0;
                foreach (var read in reads)
                {
                    Drop(after: 0.1);
                    counted += read ? counter.Read(Now).Code : 0;
                }

                counted += counter.Read(Now).Code;
                return counted == reads.Length && counter.Read(Now) == RawSample.Of(0, Now);
            },
            iter: 200, threads: 1);

    [Fact]
    public void A_bounce_or_a_satellite_within_20_ms_is_the_same_drop_and_a_drop_after_that_is_another()
    {
        using var counter = Make();
        Drop(after: 0.1);
        Drop(after: 0.010);
        Assert.Equal(1, counter.Read(Now).Code);
        Drop(after: 0.1);
        Drop(after: 0.025);
        Assert.Equal(2, counter.Read(Now).Code);
    }

    [Fact]
    public void A_beam_that_stays_dark_is_no_answer_not_a_drip_that_has_stopped()
    {
        using var counter = Make();
        Edge(high: true);
        _seconds += 0.9;
        Assert.Equal(RawSample.Of(1, Now), counter.Read(Now));
        _seconds += 0.2;
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, Now), counter.Read(Now));
        Edge(high: false);
        Assert.Equal(RawSample.Of(0, Now), counter.Read(Now));
    }

    [Fact]
    public void A_wire_that_was_cut_before_the_start_is_no_answer()
    {
        _dark = true;
        using var counter = Make();
        _seconds += 2;
        Assert.Equal(Reason.NoAnswer, counter.Read(Now).Reason);
    }

    [Fact]
    public void A_drop_that_was_seen_and_no_edge_told_of_is_no_answer_until_an_edge_is_told_again()
    {
        // As after the library's thread has died: it tells of nothing, and says nothing of that.
        using var counter = Make();
        Drop(after: 0.1);
        _dark = true;
        counter.Look();
        _dark = false;
        _seconds += 0.9;
        counter.Look();
        Assert.Equal(RawSample.Of(1, Now), counter.Read(Now));
        _seconds += 0.2;
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, Now), counter.Read(Now));
        Drop(after: 60);
        Assert.Equal(RawSample.Of(1, Now), counter.Read(Now));
    }

    [Fact]
    public void A_drop_whose_edges_come_late_or_while_the_line_is_looked_at_is_counted_and_nothing_else()
    {
        using var counter = Make();
        _dark = true;
        counter.Look();
        _dark = false;
        Drop(after: 0.8);
        _seconds += 2;
        Assert.Equal(RawSample.Of(1, Now), counter.Read(Now));
        _reading = () => Drop(after: 0.1);
        _dark = true;
        counter.Look();
        _dark = false;
        _seconds += 2;
        Assert.Equal(RawSample.Of(1, Now), counter.Read(Now));
    }

    [Fact]
    public void A_line_that_can_not_be_looked_at_any_more_is_no_answer()
    {
        using var counter = Make();
        _reading = () => throw new IOException("gone");
        counter.Look();
        _seconds += 1.1;
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, Now), counter.Read(Now));
    }

    [Fact]
    public void A_station_looks_at_the_counter_s_line_with_its_switches()
    {
        var rig = new SimulatedRig(TestStation.Weighed, 1, []);
        rig.Advance(Now);
        using var devices = StationDevices.OnRig(TestStation.Weighed.Sensors, rig, _pins);
        var latest = RawSamples.None();
        _dark = true; // and no edge is told
        devices.PollSwitches(Now, ref latest);
        Assert.Equal(RawSample.Of(0, Now), devices.TakeDrops(Now));
        _seconds += 1.5;
        rig.Advance(Now);
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, Now), devices.TakeDrops(Now));
    }

    [Fact]
    public void Drops_that_fall_while_another_thread_reads_are_all_counted_once()
    {
        using var counter = Make();
        var counted = 0;
        using var stop = new CancellationTokenSource();
        var reader = new Thread(() =>
        {
            while (!stop.IsCancellationRequested)
            {
                counted += counter.Read(default).Code;
            }
        });
        reader.Start();
        for (var i = 0; i < 20_000; i++)
        {
            Drop(after: 0.1);
        }

        stop.Cancel();
        reader.Join();
        Assert.Equal(20_000, counted + counter.Read(Now).Code);
    }

    [Fact]
    public void A_counter_that_was_let_go_hears_no_more()
    {
        var counter = Make();
        counter.Dispose();
        Drop(after: 0.1);
        Assert.Equal(0, counter.Read(Now).Code);
        Assert.False(_controller.IsPinOpen(Line));
    }

    private DropCounter Make() => new(_controller, Line, () => MonotonicTime.FromSeconds(Volatile.Read(ref _seconds)));

    private void Drop(double after)
    {
        Volatile.Write(ref _seconds, _seconds + after);
        Edge(high: true);
        Edge(high: false);
    }

    private void Edge(bool high) => _pins.Tell(Line, high);
}
