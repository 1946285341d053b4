using System.Globalization;

namespace Evenwater.HardwareTests.Circuit;

/// <summary>
/// The conductivity front end with a cell in water: two double layers of 20 uF (about 1 cm2 of bare metal, 10 to 40 uF/cm2: from memory) and the
/// water between them. Two cells are two such, with resistances between them.
/// </summary>
public class FrontEndTests
{
    private const double ReadVoltsPerSiemens = 0.5 * 4020;

    private static readonly Netlist FrontEnd = Netlist.Read("frontend.cir");
    private static readonly Lazy<IReadOnlyDictionary<string, double>> Alone = new(() => Run(FrontEnd, 410e-6));

    [Fact]
    public void Its_output_is_excitation_times_feedback_times_conductance_within_one_per_cent_over_the_fresh_range()
    {
        foreach (var (siemens, run) in new[] { (50e-6, Run(FrontEnd, 50e-6)), (410e-6, Alone.Value), (1000e-6, Run(FrontEnd, 1000e-6)) })
        {
            var volts = run["mean"];
            Assert.InRange(volts / (ReadVoltsPerSiemens * siemens), 0.99, 1.01);
        }
    }

    [Fact]
    public void The_water_sees_no_direct_current_even_when_the_clock_stands_still_and_then_the_reading_is_zero()
    {
        Assert.InRange(Alone.Value["direct"], -2e-7, 2e-7);
        foreach (var stuck in new[] { "0", "3.3" })
        {
            var stopped = Run(FrontEnd, 410e-6, stuckVolts: stuck);
            Assert.InRange(stopped["direct"], -1e-6, 1e-6);
            Assert.InRange(stopped["mean"], -0.002, 0.002);
        }

        // Without C1 it would electrolyse: the check can fail.
        Assert.True(Math.Abs(Run(FrontEnd.Short("C1"), 410e-6, stuckVolts: "3.3", doubleLayer: "1")["direct"]) > 1e-4);
    }

    [Fact]
    public void Cells_joined_by_a_tube_of_sea_water_disturb_each_other_on_a_common_ground_and_not_when_isolated()
    {
        // 2 m of a tube of 4 mm bore with 5.3 S/m: 30 kilohm from one electrode of one cell to one of the other.
        Assert.True(Error("commonGround") > 0.01);
        Assert.InRange(Error("isolated"), 0, 0.002);

        double Error(string ground) => Math.Abs((Run(FrontEnd, 410e-6, ground, [("a", "b", 30e3)])["mean"] / Alone.Value["mean"]) - 1);
    }

    [Fact]
    public void Two_open_cells_in_one_cup_disturb_each_other_although_isolated_and_two_enclosed_ones_do_not()
    {
        Assert.True(Error(10e3) > 0.05); // four times the cell's own resistance between any two electrodes
        Assert.InRange(Error(1e6), 0, 0.005); // four hundred times: a tube around each pair, open at its ends

        double Error(double ohms) =>
            Math.Abs((Run(FrontEnd, 410e-6, "isolated", [("a", "a", ohms), ("a", "b", 3 * ohms), ("b", "a", 3 * ohms), ("b", "b", ohms)])["mean"] / Alone.Value["mean"]) - 1);
    }

    private static IReadOnlyDictionary<string, double> Run(
        Netlist frontEnd, double siemens, string? second = null, (string Mine, string Theirs, double Ohms)[]? paths = null, string? stuckVolts = null, string doubleLayer = "20u")
    {
        var stuck = stuckVolts is not null;
        var span = stuck ? 1.0 : 0.12; // the filter needs 0.05 s; a clock that stands still, the coupling capacitor 0.5 s
        return Ngspice.Run($"""
            * made by the tests
            {frontEnd.Text}
            X1 e1a e1b out 0 frontend
            {Cell(1)}
            {(second is null ? "" : $"X2 e2a e2b out2 zero2 frontend\n{Cell(2)}\n{Ground()}\n{Paths()}")}
            .options method=gear
            .control
            save v(out) v(w1a) v(w1b)
            {(stuck ? $"alter @v.x1.xg1.v1[pulse] = [ {stuckVolts} {stuckVolts} 0 200n 200n 249.8u 500u ]" : "")}
            {(second is null ? "" : "alter @v.x2.xg1.v1[pulse] = [ 0 3.3 0 200n 200n 237.8u 476u ]")}
            tran 5u {Text(span)} 0 {(stuck ? "1m" : "5u")} uic
            meas tran mean AVG v(out) from={Text(span / 2)} to={Text(span)}
            let current = (v(w1a)-v(w1b))*{Text(siemens)}
            meas tran direct AVG current from={Text(span / 2)} to={Text(span)}
            quit
            .endc
            .end
            """);

        string Cell(int n) => $"C{n}a e{n}a w{n}a {doubleLayer}\nC{n}b e{n}b w{n}b {doubleLayer}\nRwater{n} w{n}a w{n}b {Text(1 / siemens)}\n"
            + $"Rla{n} e{n}a 0 1e9\nRlb{n} e{n}b 0 1e9\nRlc{n} w{n}a 0 1e9";

        // The isolation: 60 pF across converter and isolator (ordinary 1 W converters: 20 to 60 pF).
        string Ground() => second == "isolated" ? "Riso zero2 0 1e10\nCiso zero2 0 60p" : "Riso zero2 0 10m";

        string Paths() => string.Join('\n', paths!.Select((path, i) => $"Rpath{i} w1{path.Mine} w2{path.Theirs} {Text(path.Ohms)}"));
    }

    private static string Text(double value) => value.ToString(CultureInfo.InvariantCulture);
}
