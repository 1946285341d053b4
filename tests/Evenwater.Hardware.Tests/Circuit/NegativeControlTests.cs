namespace Evenwater.HardwareTests.Circuit;

/// <summary>The circuit with one idea of its design taken away: each of these must be seen to fail, or the checks above prove nothing.</summary>
public class NegativeControlTests
{
    private static readonly Netlist Valve = Netlist.Read("valve.cir");

    [Fact]
    public void Without_its_pull_down_a_floating_line_opens_the_valve_by_mains_hum_alone()
    {
        Assert.True(Late(Valve.Open("R2"), Pin.Floating) > Bench.PullInAmperes);
        Assert.True(Late(Valve, Pin.Floating) <= Bench.DropOutAmperes);
    }

    [Fact]
    public void Without_the_pumps_capacitors_a_low_pin_opens_the_valve() =>
        Assert.True(Late(Valve.Short("C1").Short("C2"), Pin.Low) > Bench.PullInAmperes);

    [Fact]
    public void A_plain_driver_without_a_pump_stays_open_with_the_pin_stuck_high() =>
        Assert.True(Late(Valve.Open("R1").Plus("Rplain line gate 100"), Pin.PulsedThenHigh) > Bench.PullInAmperes);

    [Fact]
    public void Without_its_drains_it_holds_beyond_two_seconds() =>
        Assert.True(Late(Valve.Open("R4").Open("R5"), Pin.PulsedThenLow) > Bench.PullInAmperes);

    [Fact]
    public void With_a_store_of_22_microfarad_it_holds_beyond_two_seconds() =>
        Assert.True(Late(Valve.With("C3", "C3 store zero 22u").With("C1", "C1 swing link 10u").With("C2", "C2 link pump 10u"), Pin.PulsedThenLow) > Bench.PullInAmperes);

    [Fact]
    public void With_the_float_bypassed_a_wet_float_leaves_the_valve_open() =>
        Assert.True(Assert.Single(Bench.Run(Valve.Plus("Rbypass dryin dryout 10m"), [new(Pin.Pulsing, Float.Wet)])).LeastWhilePulsed > Bench.PullInAmperes);

    [Fact]
    public void Without_the_coils_diode_the_floats_contact_sees_a_spike()
    {
        Assert.True(Contact(Valve.Open("D3")) > 100);
        Assert.InRange(Contact(Valve), 11, 15);

        static double Contact(Netlist circuit) => Assert.Single(Bench.Run(circuit, [new(Pin.Pulsing, Float.RisesAtTwoSeconds)])).ContactVolts;
    }

    [Fact]
    public void Without_the_drain_on_its_own_legs_a_MOSFET_whose_gate_wire_breaks_while_open_stays_open()
    {
        // The wire breaks as the pulses end: a switch in its place, opened at two seconds.
        const string Breaking = "SW9 store gate state9 0 reed\nV9 state9 0 PULSE(1 0 2 1u 1u 1000 2000)\nCgate gate zero 1n";
        Assert.True(Late(Valve.With("XW9", Breaking).Open("R5"), Pin.PulsedThenLow) > Bench.PullInAmperes);
        Assert.True(Late(Valve.With("XW9", Breaking), Pin.PulsedThenLow) <= Bench.DropOutAmperes);
    }

    [Fact]
    public void A_deck_that_changes_a_part_that_is_not_there_is_an_error() => Assert.Contains(
        "no such device",
        Assert.Throws<InvalidOperationException>(() => Bench.Run(Valve, [new(Pin.Low, Float.Dry, "XW99")])).Message,
        StringComparison.Ordinal);

    private static double Late(Netlist circuit, Pin pin) =>
        Assert.Single(Bench.Run(circuit, [new(pin, Float.Dry)])).MostLate;
}
