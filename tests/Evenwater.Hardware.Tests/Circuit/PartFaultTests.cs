namespace Evenwater.HardwareTests.Circuit;

/// <summary>
/// Every part of the valve's circuit, broken and shorted, one at a time: with the pin still, in either level, and after pulses that stopped.
/// What one part can hold open is listed, and for each of those the wet float must still close.
/// </summary>
public class PartFaultTests
{
    private static readonly Netlist Valve = Netlist.Read("valve.cir");

    /// <summary>The faults that hold the coil whatever the pin does. The float's own two are the same: a wet float that does not break.</summary>
    private static readonly string[] HeldOpen = ["M1 drain to source", "M1 drain to gate"];

    private static readonly Situation[] Still =
    [
        new(Pin.Low, Float.Dry), new(Pin.High, Float.Dry),
        new(Pin.PulsedThenLow, Float.Dry), new(Pin.PulsedThenHigh, Float.Dry),
    ];

    private static readonly Lazy<IReadOnlyDictionary<string, IReadOnlyList<Outcome>>> All = new(() => Faults()
        .AsParallel().WithDegreeOfParallelism(2)
        .Select(fault => (fault.Name, Outcomes: Bench.Run(fault.Circuit, [.. Still, .. fault.Wet])))
        .ToDictionary(pair => pair.Name, pair => pair.Outcomes));

    [Fact]
    public void No_single_part_but_the_MOSFET_holds_the_valve_open_when_the_pin_is_still()
    {
        Assert.True(All.Value.Count > 30, $"only {All.Value.Count} faults");
        var held = All.Value.Where(pair => pair.Value.Any(IsHeld)).Select(pair => pair.Key).Order(StringComparer.Ordinal);
        Assert.Equal(HeldOpen.Order(StringComparer.Ordinal), held);
    }

    [Fact]
    public void What_the_MOSFET_holds_open_the_wet_float_closes()
    {
        foreach (var fault in HeldOpen)
        {
            var wet = All.Value[fault].Where(o => o.Situation.Float == Float.Wet).ToList();
            Assert.Equal(2, wet.Count);
            Assert.All(wet, o => Assert.True(o.Most <= Bench.DropOutAmperes, $"{fault}, {o.Situation}: {o.Most} A"));
        }
    }

    [Fact]
    public void A_coil_wire_that_touches_ground_leaves_the_float_in_charge_and_one_that_touches_12_V_leaves_the_driver()
    {
        var toGround = Bench.Run(Valve.Plus("Rtouch coilout zero 10m"), [new(Pin.Low, Float.Dry), new(Pin.Pulsing, Float.Wet), new(Pin.High, Float.Wet)]);
        Assert.True(toGround[0].Most > Bench.PullInAmperes);
        Assert.All(toGround.Skip(1), o => Assert.True(o.Most <= Bench.DropOutAmperes, $"{o.Situation}: {o.Most} A"));
        var to12 = Bench.Run(Valve.Plus("Rtouch fed v12 10m"), [new(Pin.Pulsing, Float.Wet), .. Still.Select(s => s with { Float = Float.Wet })]);
        Assert.True(to12[0].Most > Bench.PullInAmperes);
        Assert.All(to12.Skip(1), o => Assert.True(o.MostLate <= Bench.DropOutAmperes, $"{o.Situation}: {o.MostLate} A"));
    }

    [Fact]
    public void Salt_water_in_the_floats_plug_feeds_too_little_to_hold_the_valve()
    {
        // 1 kilohm: two pins 5 mm apart, a film of sea water; an order of magnitude, from memory.
        var wet = Assert.Single(Bench.Run(Valve.Plus("Rwet dryin dryout 1k"), [new(Pin.Pulsing, Float.Wet)]));
        Assert.InRange(wet.Most, 0.001, Bench.DropOutAmperes);
    }

    /// <summary>A current in the coil two seconds after the last edge, that of switching the supply on included.</summary>
    private static bool IsHeld(Outcome outcome) => outcome.Situation.Float == Float.Dry && outcome.MostLate > Bench.DropOutAmperes;

    private static IEnumerable<(string Name, Netlist Circuit, IReadOnlyList<Situation> Wet)> Faults()
    {
        Situation[] wet = [new(Pin.PulsedThenHigh, Float.Wet), new(Pin.Low, Float.Wet)];
        foreach (var part in Valve.Parts.Where(part => part.Kind is not ("wire" or "fuse" or "coil" or "float")))
        {
            yield return ($"{part.Name} open", Valve.Open(part.Name), []);
            if (part.Nodes.Count == 2)
            {
                yield return ($"{part.Name} short", Valve.Short(part.Name), []);
            }
        }

        yield return ("Q1 collector to emitter", Valve.With("Q1", "Rq swing zero 10m"), []);
        yield return ("Q1 collector to base", Valve.Plus("Rq swing base 10m"), []);
        yield return ("Q1 base to emitter", Valve.Plus("Rq base zero 10m"), []);
        yield return ("M1 drain to source", Valve.With("M1", "Rm drain zero 50m"), wet);
        yield return ("M1 drain to gate", Valve.Plus("Rm drain gate 10m"), wet);
        yield return ("M1 gate to source", Valve.Plus("Rm gate zero 10m"), []);
        yield return ("M1 gate wire open", Valve.Open("XW9"), []);
    }
}
