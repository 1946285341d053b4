namespace Evenwater.HardwareTests.Circuit;

/// <summary>
/// The valve's circuit in every combination of pin, float and broken wire. The coil may be fed in one way alone: the pin pulses, the float is dry, and
/// the wires that must carry it are whole.
/// </summary>
public class InterlockTests
{
    private static readonly Netlist Valve = Netlist.Read("valve.cir");
    private static readonly string?[] Wires = [null, .. Valve.Parts.Where(part => part.Kind == "wire").Select(part => part.Name)];
    private static readonly Lazy<IReadOnlyList<Outcome>> All = new(() => Bench.Run(Valve, Everything()));

    [Fact]
    public void Every_combination_is_there()
    {
        Assert.Equal(["XW1", "XW2", "XW3", "XW4", "XW5", "XW6", "XW7", "XW8", "XW9"], Wires.OfType<string>().Order(StringComparer.Ordinal));
        Assert.Equal((11 * 2 * 10) + 5, All.Value.Count);
    }

    [Fact]
    public void A_dry_float_whole_wires_and_pulses_hold_the_valve_open()
    {
        var open = All.Value.Where(o => o.Situation is { IsPulsedAtFirst: true, Float: not Float.Wet, Broken: null }).ToList();
        Assert.Equal(10, open.Count);
        Assert.All(open, o => Assert.True(o.LeastWhilePulsed >= Bench.PullInAmperes, $"{o.Situation}: {o.LeastWhilePulsed} A"));
    }

    [Fact]
    public void A_pin_that_stands_still_low_high_or_floating_never_gives_the_coil_a_current()
    {
        var still = All.Value.Where(o => o.Situation.Pin < Pin.TooSlow).ToList();
        Assert.Equal(4 * 2 * 10, still.Count);
        Assert.All(still, o => Assert.True(o.Most <= Bench.DropOutAmperes, $"{o.Situation}: {o.Most} A"));
    }

    [Fact]
    public void Pulses_of_one_hertz_or_less_stay_far_below_pull_in()
    {
        var slow = All.Value.Where(o => o.Situation.Pin is Pin.TooSlow or Pin.SlowerStill).ToList();
        Assert.Equal(2 * 2 * 10, slow.Count);
        Assert.All(slow, o => Assert.True(o.Most <= Bench.PullInAmperes / 4, $"{o.Situation}: {o.Most} A"));
    }

    [Fact]
    public void A_wet_float_leaves_the_coil_without_current_whatever_else()
    {
        var wet = All.Value.Where(o => o.Situation.Float == Float.Wet).ToList();
        Assert.Equal(11 * 10, wet.Count);
        Assert.All(wet, o => Assert.True(o.Most <= Bench.DropOutAmperes, $"{o.Situation}: {o.Most} A"));
    }

    [Fact]
    public void A_float_that_rises_under_pulses_ends_the_current_at_once_and_its_contact_sees_no_spike()
    {
        var rising = All.Value.Where(o => o.Situation is { IsPulsedAtFirst: true, Float: Float.RisesAtTwoSeconds, Broken: null }).ToList();
        Assert.Equal(5, rising.Count);
        Assert.All(rising, o => Assert.InRange(o.DropOutSeconds!.Value, 0, 0.05));
        Assert.All(rising, o => Assert.InRange(o.ContactVolts, 11, 15));
    }

    [Fact]
    public void When_the_pulses_stop_the_coil_lets_go_within_two_seconds_wherever_the_pin_is_left()
    {
        var stopped = All.Value.Where(o => o.Situation.Pin > Pin.Pulsing).ToList();
        Assert.Equal((4 * 2 * 10) + 4, stopped.Count);
        Assert.All(stopped, o => Assert.True(o.MostLate <= Bench.DropOutAmperes, $"{o.Situation}: {o.MostLate} A"));
        Assert.All(stopped.Where(o => o.Situation is { Float: Float.Dry, Broken: null }), o => Assert.InRange(o.DropOutSeconds!.Value, 0.3, 1.5));
    }

    [Fact]
    public void A_broken_wire_closes_it_except_those_two_whose_current_finds_another_way()
    {
        // The computer's ground and the supply's minus are one here, as when a 12 to 5 V converter feeds the computer: each wire replaces the other.
        var pulsing = All.Value.Where(o => o.Situation is { Pin: Pin.Pulsing, Float: Float.Dry }).ToDictionary(o => o.Situation.Broken ?? "none");
        Assert.Equal(
            ["XW2", "XW4", "none"],
            pulsing.Where(pair => pair.Value.Most > Bench.DropOutAmperes).Select(pair => pair.Key).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void With_two_supplies_and_the_ground_wire_cut_the_mains_own_leakage_opens_nothing()
    {
        Situation[] situations =
        [
            new(Pin.Pulsing, Float.Dry),
            .. new[] { Pin.Low, Pin.High, Pin.PulsedThenLow, Pin.PulsedThenHigh }.Select(pin => new Situation(pin, Float.Dry, "XW4")),
        ];
        var two = Bench.Run(Valve, situations, twoSupplies: true);
        Assert.True(two[0].LeastWhilePulsed >= Bench.PullInAmperes, $"{two[0].LeastWhilePulsed} A with whole wires");
        Assert.All(two.Skip(1), o => Assert.True(o.MostLate <= Bench.DropOutAmperes, $"{o.Situation}: {o.MostLate} A"));

        // With the resistors that would do for one supply it would: the check can fail.
        var higher = Valve.With("R1", "R1 in base 10k").With("R2", "R2 base zero 4.7k");
        Assert.True(Bench.Run(higher, [new(Pin.Low, Float.Dry, "XW4")], twoSupplies: true)[0].MostLate > Bench.PullInAmperes);
    }

    private static List<Situation> Everything() =>
    [
        .. from pin in Enum.GetValues<Pin>() from position in new[] { Float.Dry, Float.Wet } from wire in Wires select new Situation(pin, position, wire),
        .. from pin in Enum.GetValues<Pin>() where pin >= Pin.Pulsing select new Situation(pin, Float.RisesAtTwoSeconds),
    ];
}
