using System.Device.Gpio;
using Evenwater.Core;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests.Circuit;

/// <summary>Parts are never what is printed on them, and pulses never come by the clock.</summary>
public class SpreadTests
{
    private static readonly Netlist Valve = Netlist.Read("valve.cir");

    private static readonly Situation[] Both = [new(Pin.PulsedThenLow, Float.Dry), new(Pin.PulsedThenHigh, Float.Dry)];

    /// <summary>The supply within 10 %, the MOSFET's threshold from end to end, capacitors within 10 %, an NPN of half the gain.</summary>
    [Theory]
    [InlineData(10.8, 4, 0.9, 1.1, 100)]
    [InlineData(10.8, 2, 1.1, 0.9, 200)]
    [InlineData(13.2, 4, 0.9, 0.9, 100)]
    [InlineData(13.2, 2, 1.1, 1.1, 400)]
    public void At_the_ends_of_every_tolerance_it_opens_under_pulses_and_lets_go_within_two_seconds(
        double volts, double threshold, double pump, double store, double gain)
    {
        var netlist = Valve
            .With("C1", FormattableString.Invariant($"C1 swing link {0.68 * pump}u"))
            .With("C2", FormattableString.Invariant($"C2 link pump {0.68 * pump}u"))
            .With("C3", FormattableString.Invariant($"C3 store zero {2.2 * store}u"));
        var least = Bench.PullInAmperes * volts / 12;
        Assert.All(Bench.Run(netlist, Both, volts, threshold, gain), o => Assert.True(
            o.LeastWhilePulsed >= Math.Min(least, Bench.PullInAmperes) && o.MostLate <= Bench.DropOutAmperes,
            $"{o.Situation}: at least {o.LeastWhilePulsed} A under pulses, {o.MostLate} A late"));
    }

    [Fact]
    public void At_the_easiest_end_a_still_pin_and_pulses_of_half_a_hertz_never_pull_the_valve_in()
    {
        var easiest = Valve.With("C1", "C1 swing link 0.748u").With("C2", "C2 link pump 0.748u").With("C3", "C3 store zero 1.98u");
        var pins = new[] { Pin.Low, Pin.High, Pin.Floating, Pin.FloatingPulledUp, Pin.SlowerStill };
        Assert.All(
            Bench.Run(easiest, [.. pins.Select(pin => new Situation(pin, Float.Dry))], supplyVolts: 13.2, gain: 400),
            o => Assert.True(o.Most < Bench.PullInAmperes, $"{o.Situation}: {o.Most} A"));
    }

    [Theory]
    [InlineData(0.025)]
    [InlineData(0.07)]
    public void Pulses_that_come_half_as_fast_again_or_a_third_too_slowly_still_hold_it(double toggleSeconds) =>
        Assert.All(Bench.Run(Valve, Both, toggleSeconds: toggleSeconds), o => Assert.True(o.LeastWhilePulsed >= Bench.PullInAmperes, $"{o.LeastWhilePulsed} A"));

    [Fact]
    public void The_programs_own_pulses_are_those_that_are_simulated()
    {
        var edges = new List<double>();
        var now = 0.0;
        using var pins = new GpioController(new FakeGpioDriver(_ => false, (_, _) => edges.Add(now)));
        using var valve = new Evenwater.Hardware.Valve(pins, 23);
        edges.Clear();
        for (var i = 1; i <= 40; i++)
        {
            now = i * Bench.ToggleSeconds;
            valve.Renew(MonotonicTime.FromSeconds(now + 1));
            valve.Pulse(MonotonicTime.FromSeconds(now));
        }

        Assert.Equal(Enumerable.Range(1, 40).Select(i => i * Bench.ToggleSeconds), edges);
    }
}
