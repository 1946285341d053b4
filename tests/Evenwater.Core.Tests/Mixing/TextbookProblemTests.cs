using Evenwater.Core.Mixing;

namespace Evenwater.CoreTests.Mixing;

/// <summary>
/// Published mixing problems, in their own units: the laws hold in any consistent set. Each names its source; where the
/// source's answer was not at hand, that is said, and the figure is ours, solved once more with another program.
/// </summary>
public class TextbookProblemTests
{
    [Fact]
    public void M1_a_tank_whose_inflow_swings_holds_279_797_lb_when_full()
    {
        // Paul's Online Notes, Differential Equations, Modeling: 1500 gal tank, 600 gal with 5 lb; 9 gal/h in at (1 + cos t)/5 lb/gal, 6 out.
        var state = VesselEquations.State(600, 5.0 / 600);
        var tank = new VesselEquations { InLitresPerHour = _ => 9, OutLitresPerHour = _ => 6, InflowConcentration = t => (1 + Math.Cos(t)) / 5 };
        var full = new SteadyFlows(9, 6).HoursToVolume(600, 1500);
        Assert.Equal(300, full, 9);
        Integrator.Run(tank.Rates, state, 0, full);
        Assert.Equal(1500, state[0], 9);
        Assert.Equal(279.797, state[1], 3);
        var (s, u) = (Math.Sin(full), 200 + full); // closed form of the same notes
        var closed = (1.8 * ((u / 3) + s + (2 * Math.Cos(full) / u) - (2 * s / (u * u)))) - (4600720 / (u * u));
        Assert.Equal(closed, state[1], 7);
    }

    [Fact]
    public void M2_a_tank_is_flushed_once_it_holds_500_oz()
    {
        // Same notes: 800 gal with 2 oz; 3 gal/h in and out at 5 oz/gal; at 500 oz fresh water at 2 gal/h, 4 out.
        var salting = new SteadyFlows(3, 3).Concentration(800, 2.0 / 800, 5);
        foreach (var t in new[] { 1.0, 10, 30 })
            Assert.Equal(4000 - (3998 * Math.Exp(-3 * t / 800)), 800 * salting.ValueAfter(t), 8);
        var switched = salting.HoursTo(500.0 / 800);
        Assert.Equal(35.475, switched, 3);
        var flushing = new SteadyFlows(2, 4).Concentration(800, 500.0 / 800, 0);
        foreach (var later in new[] { 1.0, 100, 399 })
            Assert.Equal(Math.Pow(400 - later, 2) / 320, flushing.LitresAfter(later) * flushing.ValueAfter(later), 8);
        Assert.Equal(435.475, switched + new SteadyFlows(2, 4).HoursToVolume(800, 0), 3); // the notes' (435.475 - t)^2 / 320
    }

    [Fact]
    public void M3_a_filling_tank_holds_11_86_kg_when_full()
    {
        // Lebl, Notes on Diffy Qs, ch. 1: 100 L tank, 60 L with 10 kg; 5 L/min in at 0.1 kg/L, 3 out.
        var flows = new SteadyFlows(5, 3);
        var full = flows.HoursToVolume(60, 100);
        Assert.Equal(20, full, 9);
        Assert.Equal(11.86, 100 * flows.Concentration(60, 10.0 / 60, 0.1).ValueAfter(full), 2);
    }

    [Fact]
    public void M4_flushing_to_a_thousandth_takes_863_minutes()
        // University of Southampton, edshare 6228: 5 kg in 500 L, fresh water 4 L/min in and out.
        => Assert.Equal(863, new SteadyFlows(4, 4).Concentration(500, 0.01, 0).HoursTo(0.00001), 0.5);

    [Fact]
    public void M5_the_same_tank_with_less_outflow_first_overflows_at_0_0025_kg_per_L()
    {
        // Same source, second part (2 L/min out, rim at 1000 L); the printed answer was cut off, so the figure is solved here.
        var flows = new SteadyFlows(4, 2);
        Assert.Equal(250, flows.HoursToVolume(500, 1000), 9);
        Assert.Equal(0.0025, flows.Concentration(500, 0.01, 0).ValueAfter(250), 9);
    }

    [Fact]
    public void M6_a_tank_at_constant_volume_tends_to_the_inflow()
    {
        // Trench, Elementary Differential Equations, ex. 4.2.3: 600 gal with 40 lb; 1/2 lb/gal, 4 gal/min in and out.
        var tank = new SteadyFlows(4, 4).Concentration(600, 40.0 / 600, 0.5);
        foreach (var t in new[] { 0.0, 15, 150, 600 })
            Assert.Equal(300 - (260 * Math.Exp(-t / 150)), 600 * tank.ValueAfter(t), 8);
        Assert.Equal(300, 600 * tank.SettlesAt, 9);
    }

    [Fact]
    public void M7_a_tank_overflows_at_0_218_g_per_L()
    {
        // Trench, ex. 4.2.4: 500 L tank, 200 L with 10 g; 1/4 g/L at 4 L/min in, 2 out.
        var flows = new SteadyFlows(4, 2);
        Assert.Equal(150, flows.HoursToVolume(200, 500), 9);
        Assert.Equal(0.218, flows.Concentration(200, 10.0 / 200, 0.25).ValueAfter(150), 9);
    }

    [Fact]
    public void M8_a_tank_overflows_holding_484_lb()
    {
        // Boyce and DiPrima, Elementary Differential Equations, section 2.3 (answer from memory of the book): 500 gal tank, 200 gal with 100 lb; 1 lb/gal at 3 in, 2 out.
        var flows = new SteadyFlows(3, 2);
        Assert.Equal(300, flows.HoursToVolume(200, 500), 9);
        Assert.Equal(484, 500 * flows.Concentration(200, 0.5, 1).ValueAfter(300), 9);
        Assert.Equal(121.0 / 125, flows.Concentration(200, 0.5, 1).ValueAfter(300), 12);
    }

    [Theory] // exercise after Conroy, University of Washington: 100 L with 10 kg, water 10 L/min in and out, 0.1 kg/min of salt added
    [InlineData(0, 10.0)]
    [InlineData(5, 6.459)]
    [InlineData(10, 4.311)]
    [InlineData(120, 1.0)]
    public void M9_salt_added_by_the_shovel(double minutes, double kg)
        => Assert.Equal(kg, 100 * new SteadyFlows(10, 10).Concentration(100, 0.1, 0.01).ValueAfter(minutes), 3);

    [Fact]
    public void M10_after_20_minutes_there_are_38_72_lb()
        // Problem as circulated in a public set of differential-equation exercises (100 gal, 50 lb; 1/4 lb/gal, 3 gal/min in and out); 25 + 25 e^-0.6.
        => Assert.Equal(38.72, 100 * new SteadyFlows(3, 3).Concentration(100, 0.5, 0.25).ValueAfter(20), 2);

    [Fact]
    public void M11_a_leak_that_opens_at_20_minutes()
    {
        // imathworks exercise: 350 L tank, 100 L of pure water; 5 L/min at 10 g/L; from 20 min a leak of 2 L/min. Answer solved here.
        var before = new SteadyFlows(5).Concentration(100, 0, 10);
        Assert.Equal(200, before.LitresAfter(20), 9);
        var leaking = new SteadyFlows(5, 2);
        Assert.Equal(50, leaking.HoursToVolume(200, 350), 9);
        var concentration = leaking.Concentration(200, before.ValueAfter(20), 10).ValueAfter(50);
        Assert.Equal(8.0325, concentration, 4);
        Assert.Equal(2811.388, 350 * concentration, 3);
    }

    [Theory] // washout of a stirred tank (Levenspiel, Chemical Reaction Engineering): C/C0 = e^(-t/tau)
    [InlineData(1, 0.3679)]
    [InlineData(2, 0.1353)]
    [InlineData(3, 0.0498)]
    public void M12_washout_follows_the_residence_time(double residenceTimes, double left)
        => Assert.Equal(left, new SteadyFlows(2, 2).Concentration(10, 1, 0).ValueAfter(residenceTimes * 5), 4);
}
