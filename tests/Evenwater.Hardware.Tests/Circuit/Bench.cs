using System.Globalization;
using System.Text;

namespace Evenwater.HardwareTests.Circuit;

/// <summary>
/// The netlist between a 12 V supply and a computer's pin. A pin that floats is not left in peace: 100 pF couple it to 230 V, 50 Hz
/// (about what a metre of wire along a mains cable has; from memory), with 1 megohm of damp board to ground.
/// </summary>
internal static class Bench
{
    /// <summary>What the pulses' thread makes: 20 toggles a second.</summary>
    public const double ToggleSeconds = 0.05;

    /// <summary>The MOSFET's threshold and the NPN's gain as models.cir has them.</summary>
    private const double ModelThresholdVolts = 2, ModelGain = 200;

    /// <summary>A coil that pulls in surely: 75 % of its rated 250 mA (common practice for valves and relays, no source).</summary>
    public const double PullInAmperes = 0.75 * 0.25;

    /// <summary>A coil that has surely let go: 5 % of its rated current (common practice for relays; valves let go at more).</summary>
    public const double DropOutAmperes = 0.05 * 0.25;

    /// <summary>
    /// A computer with a supply of its own has no ground in common with the 12 V but the ground wire. The noise capacitors of a double-insulated supply let up to
    /// 0.25 mA, 50 Hz, flow from mains (the touch current that IEC 60335-1 and 62368-1 allow; from memory): it then seeks its way through the driver.
    /// </summary>
    private const string TouchCurrent = "Itouch 0 ground SIN(0 0.354m 50)\nRtouch ground 0 1meg\nCtouch ground 0 100p";

    /// <summary>Simulates every situation in one process.</summary>
    /// <param name="twoSupplies">Whether computer and valve have each a supply of their own; otherwise a converter from the same 12 V feeds the computer.</param>
    public static IReadOnlyList<Outcome> Run(
        Netlist netlist, IReadOnlyList<Situation> situations, double supplyVolts = 12, double thresholdVolts = ModelThresholdVolts, double gain = ModelGain,
        double toggleSeconds = ToggleSeconds, bool twoSupplies = false)
    {
        var deck = new StringBuilder($"""
            * made by the tests
            {netlist.Text}
            Vsupply mains 0 PULSE(0 {Text(supplyVolts)} 10m 1m 1m 1000 2000)
            Rsupply mains plus 0.2
            {(twoSupplies ? TouchCurrent : "Vjoined ground 0 0")}
            Vdrive drive 0 PULSE(0 3.3 0.1 1u 1u 1 2)
            Vafter after 0 0
            Vstop stop 0 2
            Bpin driven ground V = time < v(stop) ? v(drive) : v(after)
            Vgate gate 0 PULSE(1 1 2 1u 1u 1000 2000)
            Spin driven line gate 0 pin
            .model pin SW(VT=0.5 RON=50 ROFF=1e12)
            Vhum hum 0 SIN(0 0 50)
            Chum hum line 100p
            Rdamp line 0 1meg
            Vsoc soc ground 3.3
            Rsoc soc line 1e12
            X1 plus 0 line ground valve
            .options method=gear rshunt=1e12 reltol=1e-3
            .control
            set numdgt=7
            save @l.x1.xk1.l1[i] v(x1.dryin) v(x1.dryout)
            {(thresholdVolts == ModelThresholdVolts ? "" : $"altermod power vto = {Text(thresholdVolts)}")}
            {(gain == ModelGain ? "" : $"altermod npn bf = {Text(gain)}")}

            """);
        for (var i = 0; i < situations.Count; i++)
        {
            Write(deck, i, situations[i], toggleSeconds);
        }

        deck.Append("quit\n.endc\n.end\n");
        var measured = Ngspice.Run(deck.ToString());
        return [.. situations.Select((situation, i) => new Outcome(
            situation, Of("most", i), Of("least", i), Of("late", i), measured.TryGetValue($"drop{i}", out var drop) ? drop - 2 : null, Of("contact", i)))];

        double Of(string what, int i) => measured.TryGetValue($"{what}{i}", out var value)
            ? value
            : throw new InvalidOperationException($"ngspice measured no {what} with {situations[i]}");
    }

    private static void Write(StringBuilder deck, int i, Situation situation, double toggle)
    {
        var pin = situation.Pin;
        var floats = pin is Pin.Floating or Pin.FloatingPulledUp or Pin.PulsedThenFloating or Pin.PulsedThenPulledUp;
        var pulledUp = pin is Pin.FloatingPulledUp or Pin.PulsedThenPulledUp;
        var period = pin switch { Pin.TooSlow => 1, Pin.SlowerStill => 2, _ => 2 * toggle };
        var still = pin is Pin.Low ? "0 0" : pin is Pin.High ? "3.3 3.3" : "0 3.3";
        var (before, after) = (pin is Pin.Floating or Pin.FloatingPulledUp ? 0 : 1, floats ? 0 : 1);
        var end = Text(pin < Pin.TooSlow ? 2.2 : 4.2); // what stands still needs no waiting for
        var state = situation.Float switch { Float.Dry => "1 1", Float.Wet => "0 0", _ => "1 0" };
        deck.Append($"""
            alter @vdrive[pulse] = [ {still} 0.1 1u 1u {Text(period / 2)} {Text(period)} ]
            alter vafter = {(pin is Pin.High or Pin.PulsedThenHigh ? "3.3" : "0")}
            alter vstop = {(pin is Pin.Pulsing or Pin.TooSlow or Pin.SlowerStill ? "100" : "2")}
            alter @vgate[pulse] = [ {before} {after} 2 1u 1u 1000 2000 ]
            alter @vhum[sin] = [ 0 {(floats ? "325" : "0")} 50 ]
            alter rsoc = {(pulledUp ? "50k" : "1e12")}
            alter @v.x1.xs1.v1[pulse] = [ {state} 2 1u 1u 1000 2000 ]

            """);
        Cut(deck, situation.Broken, "1e9");
        deck.Append($"""
            tran 5m {end} 0 10m
            meas tran most{i} MAX @l.x1.xk1.l1[i] from=0 to={end}
            meas tran least{i} MIN @l.x1.xk1.l1[i] from=1.5 to=1.95
            meas tran late{i} MAX @l.x1.xk1.l1[i] from={(end == "4.2" ? "4" : "2.02")} to={end}
            meas tran drop{i} WHEN @l.x1.xk1.l1[i]={Text(DropOutAmperes)} FALL=LAST
            let volts = v(x1.dryin)-v(x1.dryout)
            meas tran contact{i} MAX volts from=0 to={end}

            """);
        Cut(deck, situation.Broken, "0.01");
        deck.Append("destroy all\n");
    }

    private static void Cut(StringBuilder deck, string? wire, string ohms)
    {
        if (wire is not null)
        {
            deck.Append($"alter r.x1.{wire.ToLowerInvariant()}.r1 = {ohms}\n");
        }
    }

    private static string Text(double value) => value.ToString(CultureInfo.InvariantCulture);
}
