using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Latency;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>Sensors that can not both be right: the one that asks for closing is believed. Probes that contradict are whole nights, in the campaign.</summary>
public sealed class ContradictionTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_high_float_that_is_wet_over_a_low_one_that_is_dry_closes_is_recorded_and_refuses_the_reset_in_words()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        var rig = new SimulatedRig(station, 1, []);
        using var pins = new WatchedPins(rig, station.Sensors);
        using var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), Evening, pins: pins);
        drive.Begin();
        Assert.True(drive.Loop.Shown.Readings[Channel.FloatLow].TryGet(out var low) && low == 0, "the low float is not dry");
        pins.Wet();
        Assert.True(drive.Go(1, () => drive.Loop.State.Phase == Phase.Tripped));
        Assert.Equal(Trip.HighFloat, drive.Loop.State.Trip);
        drive.Go(3);
        Assert.False(drive.Rig.ValveOpen);

        var reset = drive.Loop.Ask(new Asking(Verb.Reset, "test"));
        var begin = drive.Loop.Ask(new Asking(Verb.Begin, "test"));
        var finish = drive.Loop.Ask(new Asking(Verb.Finish, "test"));
        drive.Go(2);
        Assert.StartsWith("Refused: a float or the leak sensor of sim-river is wet or gives no answer.", (await reset).Text, StringComparison.Ordinal);
        Assert.Equal((false, "sim-river has tripped: 'evenwater alarms' tells why. Once that is put right reset it, then ask again."), ((await begin).Obeyed, (await begin).Text));
        Assert.Equal((await begin).Text, (await finish).Text); // which of the two it was, "has no run to finish, or has tripped" left open

        log.Flush();
        var entries = log.Reader.Read(0, 10_000);
        Assert.Equal("high-float", LogJson.Read<TripBody>(Assert.Single(entries, e => e.Kind == EntryKind.Trip).Body!).Cause);
        Assert.Equal(
            [("begin", true), ("reset", false), ("begin", false), ("finish", false)],
            entries.Where(e => e.Kind == EntryKind.Command).Select(e => LogJson.Read<CommandBody>(e.Body!)).Select(c => (c.Verb, c.Obeyed)));
        Assert.False(LogJson.Read<ValveBody>(entries.Last(e => e.Kind == EntryKind.Valve).Body!).Open);
    }
}
